//! A drawing as a DXF file, for whoever cuts a mask or a stencil from it: millimetres, true arcs, named layers.
//!
//! The 2000 edition of the format (AC1015), as text. Only what that edition's readers insist on is written;
//! the list of parts and group codes is from the published reference, from memory, and an outside reader
//! audits every file in the tests. Plain ASCII: other characters are written by their number.

use crate::model::{Anchor, Item, Layer, Outline, Text};
use crate::pdf_content::number;
use crate::pens::{Dash, NARROW, Stroke};
use crate::units::plain;
use geom::{Point, Ring};
use std::fmt::Write;

/// Names of the broken lines, what they are, and their dashes as multiples of the pen's width.
const DASHES: [(&str, &str, Dash); 2] =
    [("LONG-DASH-DOT", "long dash, dot", Dash::LongDashDot), ("SHORT-DASH", "short dashes", Dash::Short)];

/// The file. Every layer is defined, also one with nothing on it. Things with a number that is not finite
/// are left out.
pub fn write(layers: &[Layer]) -> String {
    let mut out = Groups { text: String::new(), next: FIRST_FREE };
    let (lo, hi) = extent(layers);
    // Everything that has a handle is written before the head, which must say the next free one.
    out.tables(layers);
    out.blocks();
    out.section("ENTITIES");
    for layer in layers {
        for item in &layer.items {
            out.item(item, &layer.name);
        }
    }
    out.end();
    out.objects();
    out.put(0, "EOF");
    let body = out.text;

    let mut head = Groups { text: String::new(), next: out.next };
    head.section("HEADER");
    head.variable("$ACADVER", &[(1, "AC1015".to_owned())]);
    head.variable("$HANDSEED", &[(5, format!("{:X}", head.next))]);
    head.variable("$DWGCODEPAGE", &[(3, "ANSI_1252".to_owned())]);
    head.variable("$INSUNITS", &[(70, "4".to_owned())]);
    head.variable("$MEASUREMENT", &[(70, "1".to_owned())]);
    head.variable("$LTSCALE", &[(40, "1".to_owned())]);
    for (name, p) in [("$EXTMIN", lo), ("$EXTMAX", hi)] {
        head.variable(name, &[(10, number(p.x)), (20, number(p.y)), (30, "0".to_owned())]);
    }
    head.end();
    head.section("CLASSES");
    head.end();
    head.text + &body
}

/// Handles of the fixed parts; everything else counts on from `FIRST_FREE`.
const MODEL: u32 = 0x10;
const PAPER_SPACE: u32 = 0x11;
const ROOT: u32 = 0x12;
const GROUPS: u32 = 0x13;
const RECORDS: u32 = 0x14;
const FIRST_FREE: u32 = 0x20;

/// Pairs of a group code and a value, growing.
struct Groups {
    text: String,
    next: u32,
}

impl Groups {
    fn put(&mut self, code: u16, value: impl std::fmt::Display) {
        // Writing to a String cannot fail.
        let _ = write!(self.text, "{code:>3}\n{value}\n");
    }

    fn section(&mut self, name: &str) {
        self.put(0, "SECTION");
        self.put(2, name);
    }

    fn end(&mut self) {
        self.put(0, "ENDSEC");
    }

    fn variable(&mut self, name: &str, values: &[(u16, String)]) {
        self.put(9, name);
        for (code, value) in values {
            self.put(*code, value);
        }
    }

    fn handle(&mut self) -> u32 {
        self.next += 1;
        self.next - 1
    }

    fn table(&mut self, name: &str, owner: u32, count: usize) {
        self.put(0, "TABLE");
        self.put(2, name);
        self.put(5, format_args!("{owner:X}"));
        self.put(330, 0);
        self.put(100, "AcDbSymbolTable");
        self.put(70, count);
    }

    fn record(&mut self, kind: &str, handle: u32, owner: u32, class: &str, name: &str) {
        self.put(0, kind);
        self.put(5, format_args!("{handle:X}"));
        self.put(330, format_args!("{owner:X}"));
        self.put(100, "AcDbSymbolTableRecord");
        self.put(100, class);
        self.put(2, name);
    }

    fn tables(&mut self, layers: &[Layer]) {
        self.section("TABLES");
        let owner = self.handle();
        self.table("VPORT", owner, 0);
        self.put(0, "ENDTAB");

        let owner = self.handle();
        self.table("LTYPE", owner, 3 + DASHES.len());
        for name in ["ByBlock", "ByLayer", "Continuous"] {
            let handle = self.handle();
            self.record("LTYPE", handle, owner, "AcDbLinetypeTableRecord", name);
            for (code, value) in [(70, "0"), (3, ""), (72, "65"), (73, "0"), (40, "0")] {
                self.put(code, value);
            }
        }
        for (name, words, dash) in DASHES {
            let handle = self.handle();
            self.record("LTYPE", handle, owner, "AcDbLinetypeTableRecord", name);
            let lengths = dash.pattern();
            self.put(70, 0);
            self.put(3, words);
            self.put(72, 65);
            self.put(73, lengths.len());
            self.put(40, number(lengths.iter().sum::<f64>() * NARROW));
            for (k, length) in lengths.iter().enumerate() {
                let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
                self.put(49, number(sign * length * NARROW));
                self.put(74, 0);
            }
        }
        self.put(0, "ENDTAB");

        let owner = self.handle();
        self.table("LAYER", owner, layers.len() + 1);
        for name in ["0"].into_iter().chain(layers.iter().map(|l| l.name.as_str())) {
            let handle = self.handle();
            self.record("LAYER", handle, owner, "AcDbLayerTableRecord", &ascii(name));
            for (code, value) in [(70, "0"), (62, "7"), (6, "Continuous"), (370, "-3")] {
                self.put(code, value);
            }
        }
        self.put(0, "ENDTAB");

        let owner = self.handle();
        self.table("STYLE", owner, 1);
        let handle = self.handle();
        self.record("STYLE", handle, owner, "AcDbTextStyleTableRecord", "Standard");
        for (code, value) in
            [(70, "0"), (40, "0"), (41, "1"), (50, "0"), (71, "0"), (42, "2.5"), (3, "txt"), (4, "")]
        {
            self.put(code, value);
        }
        self.put(0, "ENDTAB");

        for name in ["VIEW", "UCS"] {
            let owner = self.handle();
            self.table(name, owner, 0);
            self.put(0, "ENDTAB");
        }
        let owner = self.handle();
        self.table("APPID", owner, 1);
        let handle = self.handle();
        self.record("APPID", handle, owner, "AcDbRegAppTableRecord", "ACAD");
        self.put(70, 0);
        self.put(0, "ENDTAB");

        let owner = self.handle();
        self.table("DIMSTYLE", owner, 1);
        self.put(100, "AcDbDimStyleTable");
        let handle = self.handle();
        self.put(0, "DIMSTYLE");
        self.put(105, format_args!("{handle:X}"));
        self.put(330, format_args!("{owner:X}"));
        self.put(100, "AcDbSymbolTableRecord");
        self.put(100, "AcDbDimStyleTableRecord");
        self.put(2, "Standard");
        self.put(70, 0);
        self.put(0, "ENDTAB");

        self.table("BLOCK_RECORD", RECORDS, 2);
        for (name, handle) in [("*Model_Space", MODEL), ("*Paper_Space", PAPER_SPACE)] {
            self.record("BLOCK_RECORD", handle, RECORDS, "AcDbBlockTableRecord", name);
        }
        self.put(0, "ENDTAB");
        self.end();
    }

    fn blocks(&mut self) {
        self.section("BLOCKS");
        for (name, record, paper) in [("*Model_Space", MODEL, false), ("*Paper_Space", PAPER_SPACE, true)] {
            for kind in ["BLOCK", "ENDBLK"] {
                let handle = self.handle();
                self.put(0, kind);
                self.put(5, format_args!("{handle:X}"));
                self.put(330, format_args!("{record:X}"));
                self.put(100, "AcDbEntity");
                if paper {
                    self.put(67, 1);
                }
                self.put(8, "0");
                self.put(100, if kind == "BLOCK" { "AcDbBlockBegin" } else { "AcDbBlockEnd" });
                if kind == "BLOCK" {
                    for (code, value) in
                        [(2, name), (70, "0"), (10, "0"), (20, "0"), (30, "0"), (3, name), (1, "")]
                    {
                        self.put(code, value);
                    }
                }
            }
        }
        self.end();
    }

    fn objects(&mut self) {
        self.section("OBJECTS");
        for (handle, owner) in [(ROOT, 0), (GROUPS, ROOT)] {
            self.put(0, "DICTIONARY");
            self.put(5, format_args!("{handle:X}"));
            self.put(330, format_args!("{owner:X}"));
            self.put(100, "AcDbDictionary");
            self.put(281, 1);
            if handle == ROOT {
                self.put(3, "ACAD_GROUP");
                self.put(350, format_args!("{GROUPS:X}"));
            }
        }
        self.end();
    }

    fn entity(&mut self, kind: &str, layer: &str, stroke: Option<Stroke>) {
        let handle = self.handle();
        self.put(0, kind);
        self.put(5, format_args!("{handle:X}"));
        self.put(330, format_args!("{MODEL:X}"));
        self.put(100, "AcDbEntity");
        self.put(8, ascii(layer));
        if let Some(stroke) = stroke {
            if let Some((name, ..)) = DASHES.iter().find(|(.., dash)| *dash == stroke.dash) {
                self.put(6, name);
            }
            // Hundredths of a millimetre; 35 and 70 are of the format's own series.
            self.put(370, (stroke.width * 100.0).round() as i64);
        }
    }

    fn item(&mut self, item: &Item, layer: &str) {
        match item {
            Item::Path(path) => {
                for outline in &path.outlines {
                    self.outline(outline, layer, path.stroke);
                }
            }
            Item::Circle { centre, radius, stroke, .. } if centre.is_finite() && radius.is_finite() => {
                self.entity("CIRCLE", layer, *stroke);
                self.put(100, "AcDbCircle");
                self.place(10, *centre);
                self.put(40, number(*radius));
            }
            Item::Text(text) if text.at.is_finite() && text.size.is_finite() && text.turn.is_finite() => {
                self.words(text, layer);
            }
            _ => {}
        }
    }

    fn outline(&mut self, outline: &Outline, layer: &str, stroke: Option<Stroke>) {
        let finite = outline.vertices.iter().all(|v| v.p.is_finite() && v.bulge.is_finite());
        if outline.vertices.len() < 2 || !finite {
            return;
        }
        self.entity("LWPOLYLINE", layer, stroke);
        self.put(100, "AcDbPolyline");
        self.put(90, outline.vertices.len());
        self.put(70, u8::from(outline.closed));
        self.put(43, 0);
        for v in &outline.vertices {
            self.put(10, number(v.p.x));
            self.put(20, number(v.p.y));
            if v.bulge != 0.0 {
                self.put(42, crate::pdf_content::share(v.bulge));
            }
        }
    }

    fn words(&mut self, text: &Text, layer: &str) {
        self.entity("TEXT", layer, None);
        self.put(100, "AcDbText");
        self.place(10, text.at);
        self.put(40, number(text.size * crate::advance::CAP_HEIGHT));
        self.put(1, ascii(&plain(&text.words)));
        self.put(50, number(text.turn.to_degrees()));
        let across = match text.anchor {
            Anchor::Start => 0,
            Anchor::Middle => 1,
            Anchor::End => 2,
        };
        if across > 0 {
            self.put(72, across);
            self.place(11, text.at);
        }
        self.put(100, "AcDbText");
    }

    fn place(&mut self, code: u16, p: Point) {
        self.put(code, number(p.x));
        self.put(code + 10, number(p.y));
        self.put(code + 20, 0);
    }
}

/// Text on one line in ASCII. Control characters and those that reorder a line become a question mark; other
/// characters beyond ASCII, and the two that start codes of the format, are written by their number.
fn ascii(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() => out.push('?'),
            '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => {
                out.push('?');
            }
            '%' | '\\' | '^' => {
                let _ = write!(out, "\\U+{:04X}", u32::from(c));
            }
            c if c.is_ascii() => out.push(c),
            c => {
                let mut units = [0; 2];
                for unit in c.encode_utf16(&mut units) {
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}

fn extent(layers: &[Layer]) -> (Point, Point) {
    let mut ends: Option<(Point, Point)> = None;
    let mut take = |lo: Point, hi: Point| {
        if !(lo.is_finite() && hi.is_finite()) {
            return;
        }
        let (a, b) = ends.unwrap_or((lo, hi));
        ends = Some((Point::new(a.x.min(lo.x), a.y.min(lo.y)), Point::new(b.x.max(hi.x), b.y.max(hi.y))));
    };
    for item in layers.iter().flat_map(|l| &l.items) {
        match item {
            Item::Path(path) => {
                for outline in &path.outlines {
                    if let Some((lo, hi)) = (Ring { vertices: outline.vertices.clone() }).bounds() {
                        take(lo, hi);
                    }
                }
            }
            Item::Circle { centre, radius, .. } => {
                let r = geom::Vec2::new(*radius, *radius);
                take(*centre - r, *centre + r);
            }
            Item::Text(_) => {}
        }
    }
    ends.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pens::{Role, pen};

    fn layer(items: Vec<Item>) -> Vec<Layer> {
        vec![Layer { name: "paint-edge".into(), items }]
    }

    #[test]
    fn a_circle_ring_is_one_closed_polyline_of_bulges() {
        let ring = Ring::circle(Point::new(20.0, 10.0), 5.0);
        let dxf = write(&layer(vec![Item::rings([&ring], pen(Role::CutLine))]));
        assert_eq!(dxf.matches("LWPOLYLINE").count(), 1);
        assert!(dxf.contains(" 70\n1\n") && dxf.contains(" 42\n1\n"), "{dxf}");
        assert!(dxf.contains("$INSUNITS\n 70\n4\n") && dxf.ends_with("EOF\n"));
    }

    #[test]
    fn words_stay_on_one_line_and_carry_no_codes() {
        let words = "a\nEOF\u{0}\u{202e}%%c\\P\u{e9}\u{1f600}";
        let text = Item::Text(Text::new(Point::ZERO, words, 4.0));
        let dxf = write(&layer(vec![text]));
        let wanted = "a EOF??\\U+0025\\U+0025c\\U+005CP\\U+00E9\\U+D83D\\U+DE00";
        assert!(dxf.contains(&format!("  1\n{wanted}\n")), "{dxf}");
    }

    #[test]
    fn a_layer_with_nothing_on_it_is_still_there() {
        assert!(write(&layer(vec![])).contains("  2\npaint-edge\n"));
    }
}
