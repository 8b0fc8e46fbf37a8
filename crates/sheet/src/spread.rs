//! Pushing labels apart along a line until none covers another, each staying as near its place as it can.
//!
//! Only the one direction along the line is dealt with. The same labels always land on the same places.

/// Something that wants a place on a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// Where its middle would like to be, mm.
    pub at: f64,
    /// How much of the line it takes, mm.
    pub size: f64,
}

/// Where things went.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// The middle of each, mm, in the order the wishes were given.
    pub centres: Vec<f64>,
    /// How much the room is too small, mm; 0 if all found place in it. When it is not, they stand close
    /// together and reach out at both ends alike.
    pub over: f64,
}

/// Places for `wishes` at least `gap` apart, in the order of their wishes (equal wishes in the order given),
/// within `room` (lower and upper end; infinite ends are allowed).
///
/// Of all such places these have the least sum of squared distances from the wishes. Taking from each wish
/// what the ones before it need, the task is a regression onto a rising sequence; neighbours that fall are
/// pooled at their mean (the "pool adjacent violators" method, Ayer and others 1955, from memory), and the
/// ends of the room cut the rising sequence off.
pub fn spread(wishes: &[Wish], gap: f64, room: (f64, f64)) -> Spread {
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|&i, &j| wishes[i].at.total_cmp(&wishes[j].at));
    let (Some(&first), Some(&last)) = (order.first(), order.last()) else {
        return Spread { centres: Vec::new(), over: 0.0 };
    };

    let mut needed = vec![0.0; order.len()];
    for k in 1..order.len() {
        needed[k] = needed[k - 1] + (wishes[order[k - 1]].size + wishes[order[k]].size) / 2.0 + gap;
    }
    // Each pool: the sum of what is in it and how many. A pool is closed into the one before it while it
    // lies lower; every closing removes a pool, so the inner loop runs at most once for each wish in all.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for k in 0..order.len() {
        let mut pool = (wishes[order[k]].at - needed[k], 1);
        while let Some(&(sum, count)) = pools.last() {
            if sum / count as f64 <= pool.0 / pool.1 as f64 {
                break;
            }
            pools.pop();
            pool = (pool.0 + sum, pool.1 + count);
        }
        pools.push(pool);
    }

    let least = room.0 + wishes[first].size / 2.0;
    let most = room.1 - wishes[last].size / 2.0 - needed[order.len() - 1];
    let over = (least - most).max(0.0);
    let (least, most) = if over > 0.0 { ((least + most) / 2.0, (least + most) / 2.0) } else { (least, most) };
    let rising = pools.iter().flat_map(|&(sum, count)| std::iter::repeat_n(sum / count as f64, count));
    let mut centres = vec![0.0; wishes.len()];
    for ((k, value), &idx) in rising.enumerate().zip(&order) {
        centres[idx] = value.max(least).min(most) + needed[k];
    }
    Spread { centres, over }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FREE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

    fn wish(at: f64, size: f64) -> Wish {
        Wish { at, size }
    }

    #[test]
    fn labels_with_room_stay_where_they_are() {
        let wishes = [wish(10.0, 4.0), wish(-3.0, 4.0), wish(20.0, 4.0)];
        assert_eq!(spread(&wishes, 1.0, FREE).centres, [10.0, -3.0, 20.0]);
    }

    #[test]
    fn two_labels_on_one_spot_give_way_alike() {
        let s = spread(&[wish(5.0, 4.0), wish(5.0, 4.0)], 2.0, FREE);
        assert!((s.centres[0] - 2.0).abs() < 1e-12 && (s.centres[1] - 8.0).abs() < 1e-12, "{s:?}");
    }

    #[test]
    fn too_small_a_room_is_owned_up_to() {
        let s = spread(&[wish(0.0, 6.0), wish(0.0, 6.0)], 0.0, (0.0, 10.0));
        assert!((s.over - 2.0).abs() < 1e-12 && (s.centres[0] - 2.0).abs() < 1e-12, "{s:?}");
    }

    fn wishes() -> impl Strategy<Value = Vec<Wish>> {
        prop::collection::vec((-60.0..60.0_f64, 0.5..12.0_f64).prop_map(|(at, size)| wish(at, size)), 0..24)
    }

    /// Places in order of the wishes, with what each takes.
    fn placed(wishes: &[Wish], s: &Spread) -> Vec<(f64, f64)> {
        let mut order: Vec<usize> = (0..wishes.len()).collect();
        order.sort_by(|&i, &j| wishes[i].at.total_cmp(&wishes[j].at));
        order.iter().map(|&i| (s.centres[i], wishes[i].size)).collect()
    }

    proptest! {
        #[test]
        fn no_two_overlap_and_the_order_is_kept(wishes in wishes(), gap in 0.0..3.0_f64, half in 5.0..200.0_f64) {
            let s = spread(&wishes, gap, (-half, half));
            for pair in placed(&wishes, &s).windows(2) {
                let ((a, size_a), (b, size_b)) = (pair[0], pair[1]);
                prop_assert!(b - size_b / 2.0 - (a + size_a / 2.0) >= gap - 1e-9, "{:?}", s);
            }
        }

        #[test]
        fn all_stay_in_a_room_that_holds_them(wishes in wishes(), gap in 0.0..3.0_f64, half in 5.0..200.0_f64) {
            let s = spread(&wishes, gap, (-half, half));
            let needed = wishes.iter().map(|w| w.size + gap).sum::<f64>() - gap;
            if needed <= 2.0 * half {
                prop_assert!(s.over <= 1e-9);
                for (w, c) in wishes.iter().zip(&s.centres) {
                    prop_assert!(-half - 1e-9 <= c - w.size / 2.0 && c + w.size / 2.0 <= half + 1e-9);
                }
            } else {
                prop_assert!((s.over - (needed - 2.0 * half)).abs() < 1e-9);
            }
        }

        /// The best places are unique, so a mirror must give the mirrored places.
        #[test]
        fn a_mirror_gives_the_mirrored_places(wishes in wishes(), gap in 0.0..3.0_f64) {
            let s = spread(&wishes, gap, (-80.0, 70.0));
            let turned: Vec<Wish> = wishes.iter().rev().map(|w| wish(-w.at, w.size)).collect();
            let t = spread(&turned, gap, (-70.0, 80.0));
            for (c, d) in s.centres.iter().zip(t.centres.iter().rev()) {
                prop_assert!((c + d).abs() < 1e-9, "{:?} {:?}", s, t);
            }
        }

        /// Another route to the same answer: the task is convex, so places that no small legal nudge of a
        /// run of labels brings nearer to the wishes are the best ones.
        #[test]
        fn no_nudge_of_a_run_brings_it_nearer(wishes in wishes(), gap in 0.0..3.0_f64) {
            let s = spread(&wishes, gap, FREE);
            let mut order: Vec<usize> = (0..wishes.len()).collect();
            order.sort_by(|&i, &j| wishes[i].at.total_cmp(&wishes[j].at));
            let cost = |c: &[f64]| -> f64 { c.iter().zip(&wishes).map(|(c, w)| (c - w.at).powi(2)).sum() };
            let legal = |c: &[f64]| order.windows(2).all(|p| {
                c[p[1]] - c[p[0]] >= (wishes[p[0]].size + wishes[p[1]].size) / 2.0 + gap - 1e-9
            });
            for from in 0..order.len() {
                for to in from + 1..=order.len() {
                    for nudge in [-0.01, 0.01] {
                        let mut c = s.centres.clone();
                        order[from..to].iter().for_each(|&i| c[i] += nudge);
                        prop_assert!(!legal(&c) || cost(&c) >= cost(&s.centres) - 1e-9);
                    }
                }
            }
        }
    }
}
