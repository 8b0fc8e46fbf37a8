//! Sheets as a PDF file at full size: drawings held once, in millimetres, and pages that look at them.
//!
//! A form is a drawing that may be larger than any page; a page shows windows of forms, each cut off at its
//! edge, and things of its own. So sixty sheets of one pattern hold its lines once. Words are text, with the
//! characters they stand for, in a face carried along. The only file that knows the crates behind it.

use crate::model::{Item, Layer, Room};
use crate::pdf_content::{Content, Faces, number};
use crate::pdf_font::Face;
use crate::words::Weight;
use geom::{Point, Vec2};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use std::collections::BTreeMap;

/// Points in a millimetre: 72 to the inch.
const POINTS: f64 = 72.0 / 25.4;
/// Longest side of a page in points that readers accept (ISO 32000-1, annex C); longer pages count in larger
/// units.
const LONGEST: f64 = 14_400.0;

/// A file of sheets.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// What it is called.
    pub title: String,
    /// What it shows.
    pub subject: String,
    /// Drawings that pages look at.
    pub forms: Vec<Form>,
    /// Its pages in order.
    pub pages: Vec<Page>,
}

/// A drawing that pages look at.
#[derive(Clone, Debug)]
pub struct Form {
    /// What it covers, mm, with room for half the width of its lines.
    pub room: Room,
    /// What it shows. A layer's name marks its operators in the file, so that a reader finds them.
    pub layers: Vec<Layer>,
}

/// One page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width of the paper, mm.
    pub width: f64,
    /// Height of the paper, mm.
    pub height: f64,
    /// What it shows of forms.
    pub windows: Vec<Window>,
    /// What it shows beside, on top.
    pub items: Vec<Item>,
}

/// A look at a form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Which form.
    pub form: usize,
    /// Where on the page, mm; the form is cut off at its edge.
    pub room: Room,
    /// Where on the page the form's own zero lies, mm.
    pub zero: Point,
}

/// The file. Things with a number that is not finite are left out, and the first page says so.
pub fn write(document: &Document) -> Vec<u8> {
    let mut next = 0;
    let mut fresh = || {
        next += 1;
        Ref::new(next)
    };
    let (catalog, tree, info) = (fresh(), fresh(), fresh());
    let fonts: [FontRefs; 2] = [(); 2].map(|()| FontRefs {
        font: fresh(),
        cid: fresh(),
        descriptor: fresh(),
        file: fresh(),
        cmap: fresh(),
    });
    let forms: Vec<Ref> = document.forms.iter().map(|_| fresh()).collect();
    let pages: Vec<(Ref, Ref)> = document.pages.iter().map(|_| (fresh(), fresh())).collect();

    let mut faces = Faces::default();
    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    let mut out = pdf.catalog(catalog);
    out.pages(tree);
    // A reader that asks its printer to fit the page would spoil every measure.
    out.insert(Name(b"ViewerPreferences")).dict().pair(Name(b"PrintScaling"), Name(b"None"));
    out.finish();
    pdf.document_info(info)
        .title(TextStr(&document.title))
        .subject(TextStr(&document.subject))
        .creator(TextStr("Maskwright"));
    pdf.pages(tree).count(pages.len() as i32).kids(pages.iter().map(|(page, _)| *page));

    let mut left_out = 0;
    for (form, id) in document.forms.iter().zip(&forms) {
        let mut content = Content::new(&mut faces);
        for layer in &form.layers {
            content.raw(&format!("/{} BMC", tag(&layer.name)));
            layer.items.iter().for_each(|item| content.item(item));
            content.raw("EMC");
        }
        let (operators, missing) = content.finish();
        left_out += missing;
        let packed = packed(operators.as_bytes());
        let mut out = pdf.form_xobject(*id, &packed);
        out.bbox(rect(form.room));
        out.filter(Filter::FlateDecode);
        resources(&mut out.resources(), &fonts, &[]);
    }
    for (k, (page, (id, body))) in document.pages.iter().zip(&pages).enumerate() {
        let unit = (page.width.max(page.height) * POINTS / LONGEST).ceil().max(1.0);
        let mut content = Content::new(&mut faces);
        let scale = crate::pdf_content::share(POINTS / unit);
        content.raw(&format!("q {scale} 0 0 {scale} 0 0 cm"));
        for window in &page.windows {
            let (room, zero) = (window.room, window.zero);
            content.raw(&format!(
                "q {} {} {} {} re W n 1 0 0 1 {} {} cm /F{} Do Q",
                number(room.lo.x),
                number(room.lo.y),
                number(room.width()),
                number(room.height()),
                number(zero.x),
                number(zero.y),
                window.form
            ));
        }
        page.items.iter().for_each(|item| content.item(item));
        left_out += content.left_out;
        if k == 0 && left_out > 0 {
            let words = format!("{left_out} not drawn: a place or size is not a number");
            content.item(&Item::Text(crate::model::Text::new(Point::new(6.0, 3.0), words, 2.6)));
        }
        content.raw("Q");
        let packed = packed(content.finish().0.as_bytes());
        pdf.stream(*body, &packed).filter(Filter::FlateDecode);
        let mut out = pdf.page(*id);
        let side = |mm: f64| (mm * POINTS / unit) as f32;
        out.parent(tree).media_box(Rect::new(0.0, 0.0, side(page.width), side(page.height)));
        if unit > 1.0 {
            out.user_unit(unit as f32);
        }
        out.contents(*body);
        resources(&mut out.resources(), &fonts, &forms);
    }
    for ((face, used), refs) in faces.used().into_iter().zip(&fonts) {
        embed(&mut pdf, face, used, refs);
    }
    pdf.finish()
}

/// Names a layer has in the file: its own letters and hyphens.
fn tag(name: &str) -> String {
    let kept: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '-' }).collect();
    if kept.is_empty() { "layer".to_owned() } else { kept }
}

struct FontRefs {
    font: Ref,
    cid: Ref,
    descriptor: Ref,
    file: Ref,
    cmap: Ref,
}

fn resources(out: &mut pdf_writer::writers::Resources<'_>, fonts: &[FontRefs; 2], forms: &[Ref]) {
    out.fonts().pair(Name(b"R"), fonts[0].font).pair(Name(b"B"), fonts[1].font);
    if !forms.is_empty() {
        let mut list = out.x_objects();
        for (k, form) in forms.iter().enumerate() {
            list.pair(Name(format!("F{k}").as_bytes()), *form);
        }
    }
}

fn embed(pdf: &mut Pdf, face: &Face, used: &BTreeMap<u16, char>, refs: &FontRefs) {
    let name = format!("{}+{}", subset_tag(used), face.name());
    let name = Name(name.as_bytes());
    let identity = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    pdf.type0_font(refs.font)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(refs.cid)
        .to_unicode(refs.cmap);
    let mut cid = pdf.cid_font(refs.cid);
    cid.subtype(CidFontType::Type2).base_font(name).system_info(identity).font_descriptor(refs.descriptor);
    cid.default_width(0.0).cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = cid.widths();
    for number in used.keys() {
        widths.consecutive(*number, [face.advance(*number) as f32]);
    }
    widths.finish();
    cid.finish();
    let m = face.metrics();
    let b = m.bounds.map(|v| v as f32);
    pdf.font_descriptor(refs.descriptor)
        .name(name)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(b[0], b[1], b[2], b[3]))
        .italic_angle(0.0)
        .ascent(m.ascent as f32)
        .descent(m.descent as f32)
        .cap_height(m.cap_height as f32)
        .stem_v(if face.name().ends_with("Bold") { 140.0 } else { 90.0 })
        .font_file2(refs.file);
    let file = face.subset(used);
    let packed_file = packed(&file);
    pdf.stream(refs.file, &packed_file).filter(Filter::FlateDecode).pair(Name(b"Length1"), file.len() as i32);
    let mut cmap = UnicodeCmap::new(Name(b"Custom"), identity);
    used.iter().for_each(|(number, c)| cmap.pair(*number, *c));
    let map = packed(cmap.finish().as_slice());
    pdf.stream(refs.cmap, &map).filter(Filter::FlateDecode);
}

/// Six capitals made from what is used, as a subset's name wants them.
fn subset_tag(used: &BTreeMap<u16, char>) -> String {
    let mut sum = used.keys().fold(17_u64, |sum, n| sum.wrapping_mul(31).wrapping_add(u64::from(*n)));
    let mut tag = String::new();
    for _ in 0..6 {
        tag.push(char::from(b'A' + (sum % 26) as u8));
        sum /= 26;
    }
    tag
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}

/// The operators of the forms in a file this module wrote, unpacked, in order: for checking what was written.
/// A file of another make, or one damaged, gives fewer.
pub fn forms_in(bytes: &[u8]) -> Vec<String> {
    let find = |from: usize, what: &[u8]| {
        bytes.get(from..)?.windows(what.len()).position(|w| w == what).map(|k| from + k)
    };
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(object) = find(at, b" obj") {
        let Some(start) = find(object, b"stream\n").map(|k| k + 7) else { break };
        let head = String::from_utf8_lossy(&bytes[object..start]);
        if head.contains("endobj") {
            at = object + 4;
            continue;
        }
        let length = head.split("/Length ").nth(1).and_then(|rest| {
            rest.split(|c: char| !c.is_ascii_digit()).next().and_then(|digits| digits.parse::<usize>().ok())
        });
        at = start + length.unwrap_or(0);
        if head.contains("/Form")
            && let Some(packed) = bytes.get(start..at)
            && let Ok(plain) = miniz_oxide::inflate::decompress_to_vec_zlib(packed)
        {
            found.push(String::from_utf8_lossy(&plain).into_owned());
        }
    }
    found
}

fn rect(room: Room) -> Rect {
    Rect::new(room.lo.x as f32, room.lo.y as f32, room.hi.x as f32, room.hi.y as f32)
}

/// Width of a line of words as it will be set, mm.
pub fn set_width(text: &str, size: f64, weight: Weight) -> f64 {
    Face::new(weight).width(text) * size
}

impl Window {
    /// What of the form is seen, in the form's own millimetres.
    pub fn view(&self) -> Room {
        let back = Vec2::new(self.zero.x, self.zero.y);
        Room { lo: self.room.lo - back, hi: self.room.hi - back }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Text;
    use crate::pens::{Role, pen};
    use geom::Ring;

    fn sample(radius: f64) -> Document {
        let ring = Ring::circle(Point::new(50.0, 50.0), radius);
        let layer =
            Layer { name: "paint-edge".into(), items: vec![Item::rings([&ring], pen(Role::CutLine))] };
        let room = Room { lo: Point::ZERO, hi: Point::new(100.0, 100.0) };
        Document {
            title: "t".into(),
            subject: "s".into(),
            forms: vec![Form { room, layers: vec![layer] }],
            pages: vec![Page {
                width: 210.0,
                height: 297.0,
                windows: vec![Window { form: 0, room, zero: Point::ZERO }],
                items: vec![Item::Text(Text::new(Point::new(10.0, 200.0), "Ring 3 (mm) \\ <<", 4.0))],
            }],
        }
    }

    #[test]
    fn the_same_document_gives_the_same_bytes_and_its_form_can_be_read_back() {
        let bytes = write(&sample(40.0));
        assert_eq!(bytes, write(&sample(40.0)));
        let forms = forms_in(&bytes);
        assert_eq!(forms.len(), 1);
        assert!(forms[0].contains("/paint-edge BMC") && forms[0].contains(" c "), "{}", forms[0]);
    }

    #[test]
    fn what_is_not_a_number_is_left_out_and_said() {
        let bytes = write(&sample(f64::NAN));
        assert!(!forms_in(&bytes)[0].contains("NaN"));
    }

    #[test]
    fn a_page_beyond_five_metres_counts_in_larger_units() {
        let mut long = sample(40.0);
        long.pages[0].width = 6000.0;
        assert!(String::from_utf8_lossy(&write(&long)).contains("/UserUnit 2"));
        assert!(!String::from_utf8_lossy(&write(&sample(40.0))).contains("/UserUnit"));
    }
}
