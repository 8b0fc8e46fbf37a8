//! How a scan lies in its craft: its stations, its waterlines and its plane of symmetry, where the job states them.

use crate::job::{ScanAxes, Side, Unit};
use geom::Point3;

/// Stated axes, each of unit length and square to the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    datum: Point3,
    aft: Point3,
    starboard: Point3,
    up: Point3,
}

impl Stated {
    /// Of what a job states; what of `aft` runs up is left out. `None` if one points nowhere or along the other.
    pub(super) fn new(axes: &ScanAxes, unit: Unit) -> Option<Stated> {
        let up = Point3::from(axes.up).try_normalize()?;
        let aft = Point3::from(axes.aft);
        let aft = (aft - up * aft.dot(up)).try_normalize()?;
        Some(Stated { datum: Point3::from(axes.datum) * unit.mm(), aft, starboard: up.cross(aft), up })
    }

    /// Station, distance to starboard of the middle plane, and height of a point of the scan, mm.
    pub fn read(&self, p: Point3) -> Point3 {
        let d = p - self.datum;
        Point3::new(d.dot(self.aft), d.dot(self.starboard), d.dot(self.up))
    }

    /// The point of the scan that is read so.
    pub fn place(&self, read: Point3) -> Point3 {
        self.datum + self.aft * read.x + self.starboard * read.y + self.up * read.z
    }

    /// Which way is up, and the height of the scan's own zero beneath the datum: what is level at `height` has this share
    /// along it.
    pub fn level(&self, height: f64) -> (Point3, f64) {
        (self.up, self.datum.dot(self.up) + height)
    }

    /// The way out toward one who looks at the left or the right side; `None` for others.
    pub(super) fn seen_from(&self, side: Side) -> Option<Point3> {
        match side {
            Side::Left => Some(-self.starboard),
            Side::Right => Some(self.starboard),
            Side::Upper | Side::Lower => None,
        }
    }

    /// Which way is up.
    pub(super) fn up(&self) -> Point3 {
        self.up
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_reads_aft_starboard_and_up_and_back() {
        // A scan lying on its back: up is -y, aft is +z. Starboard is on the right of one who looks forward, along -z with
        // -y above him: at -x.
        let axes = ScanAxes { up: [0.0, -3.0, 0.0], aft: [0.0, 0.2, 2.0], datum: [1.0, 2.0, 3.0] };
        let stated = Stated::new(&axes, Unit::Cm).unwrap();
        let p = Point3::new(10.0 - 5.0, 20.0 - 7.0, 30.0 + 11.0);
        let read = stated.read(p);
        assert!((read - Point3::new(11.0, 5.0, 7.0)).length() < 1e-12, "{read}");
        assert!((stated.place(read) - p).length() < 1e-12);
        let flat = ScanAxes { up: [0.0, 0.0, 1.0], aft: [0.0, 0.0, 2.0], datum: [0.0; 3] };
        assert!(Stated::new(&flat, Unit::Mm).is_none());
    }
}
