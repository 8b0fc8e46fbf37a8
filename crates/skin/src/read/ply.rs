//! PLY: a head in text that lists what follows, then text or binary of either byte order.

use super::text::{Lines, number, said};
use super::{MOST, Place, ReadError, error, too_many};
use crate::mesh::Soup;
use geom::Point3;

/// Bytes of a number, and how to read them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Type {
    I8,
    U8,
    I16,
    U16,
    I32,
    U32,
    F32,
    F64,
}

impl Type {
    fn named(word: &str) -> Option<Type> {
        Some(match word {
            "char" | "int8" => Type::I8,
            "uchar" | "uint8" => Type::U8,
            "short" | "int16" => Type::I16,
            "ushort" | "uint16" => Type::U16,
            "int" | "int32" => Type::I32,
            "uint" | "uint32" => Type::U32,
            "float" | "float32" => Type::F32,
            "double" | "float64" => Type::F64,
            _ => return None,
        })
    }

    fn bytes(self) -> usize {
        match self {
            Type::I8 | Type::U8 => 1,
            Type::I16 | Type::U16 => 2,
            Type::I32 | Type::U32 | Type::F32 => 4,
            Type::F64 => 8,
        }
    }
}

struct Property {
    name: String,
    /// Type of the count before the numbers, of a list.
    count: Option<Type>,
    kind: Type,
}

struct Element {
    name: String,
    count: usize,
    properties: Vec<Property>,
}

/// Where the numbers come from.
enum Body<'a> {
    Text { words: Vec<(usize, String)>, next: usize },
    Binary { bytes: &'a [u8], at: usize, big: bool },
}

pub(super) fn read(bytes: &[u8]) -> Result<Soup, ReadError> {
    let (elements, format, body_at, body_line) = head(bytes)?;
    let mut body = match format.as_str() {
        "ascii" => {
            let mut lines = Lines::new(&bytes[body_at..], false);
            let mut words = Vec::new();
            while let Some((n, line)) = lines.next_line() {
                words.extend(line.split_ascii_whitespace().map(|w| (body_line + n, w.to_owned())));
            }
            Body::Text { words, next: 0 }
        }
        "binary_little_endian" => Body::Binary { bytes, at: body_at, big: false },
        _ => Body::Binary { bytes, at: body_at, big: true },
    };
    let mut soup = Soup::default();
    for element in &elements {
        // Every entry takes a byte or a word at least: a count beyond what is left is a file cut short.
        if !element.properties.is_empty() && body.left() < element.count {
            return Err(body.cut_short());
        }
        if MOST < element.count {
            return Err(too_many(Place::File, element.count, &said(&element.name)));
        }
        for _ in 0..element.count {
            entry(element, &mut body, &mut soup)?;
        }
    }
    let corners = soup.points.len();
    if let Some(k) = soup.triangles.iter().flatten().find(|k| corners <= **k as usize) {
        return Err(error(
            Place::File,
            format!("a face at corner {k}"),
            format!("0 to {}", corners.max(1) - 1),
            "",
        ));
    }
    Ok(soup)
}

fn entry(element: &Element, body: &mut Body<'_>, soup: &mut Soup) -> Result<(), ReadError> {
    let mut at = [f64::NAN; 3];
    let mut face: Vec<u32> = Vec::new();
    for property in &element.properties {
        let Some(count) = property.count else {
            let value = body.number(property.kind)?;
            if let Some(k) = ["x", "y", "z"].iter().position(|axis| *axis == property.name) {
                at[k] = value;
            }
            continue;
        };
        let many = body.number(count)?;
        if !(0.0..=body.left() as f64).contains(&many) {
            return Err(body.cut_short());
        }
        let corners = element.name == "face" && property.name.starts_with("vert");
        for _ in 0..many as usize {
            let value = body.number(property.kind)?;
            if corners {
                if !(0.0..MOST as f64).contains(&value) {
                    return Err(error(body.place(), format!("corner {value}"), "the number of a corner", ""));
                }
                face.push(value as u32);
            }
        }
    }
    if element.name == "vertex" {
        let p = Point3::from_array(at);
        if !p.is_finite() {
            return Err(error(body.place(), "a corner that is no number", "finite x, y and z", ""));
        }
        soup.points.push(p);
    }
    if let [first, rest @ ..] = face.as_slice() {
        if soup.triangles.len() + rest.len() > MOST {
            return Err(too_many(body.place(), soup.triangles.len() + rest.len(), "triangles"));
        }
        soup.triangles.extend(rest.windows(2).map(|pair| [*first, pair[0], pair[1]]));
    }
    Ok(())
}

/// The head: what follows, in which form, and where it begins (byte, lines before it).
fn head(bytes: &[u8]) -> Result<(Vec<Element>, String, usize, usize), ReadError> {
    let mut elements: Vec<Element> = Vec::new();
    let mut format = None;
    let (mut at, mut n) = (0, 0);
    loop {
        let Some(end) = bytes[at..].iter().position(|&b| b == b'\n' || b == b'\r') else {
            return Err(error(
                Place::Line(n + 1),
                "the end of the file",
                "end_header",
                "the copy is cut short: copy it again",
            ));
        };
        let line = String::from_utf8_lossy(&bytes[at..at + end]).into_owned();
        at += end + if bytes[at + end..].starts_with(b"\r\n") { 2 } else { 1 };
        n += 1;
        let words: Vec<&str> = line.split_ascii_whitespace().collect();
        let wrong = |expected: &str| error(Place::Line(n), said(&line), expected, "");
        match words.as_slice() {
            [] | ["ply"] | ["comment" | "obj_info", ..] => {}
            ["format", kind @ ("ascii" | "binary_little_endian" | "binary_big_endian"), ..] => {
                format = Some((*kind).to_owned());
            }
            ["element", name, count] => {
                let count = count.parse().map_err(|_| wrong("element, a name and a count"))?;
                elements.push(Element { name: (*name).to_owned(), count, properties: Vec::new() });
            }
            ["property", rest @ ..] => {
                let property = match rest {
                    ["list", count, kind, name] => Type::named(count)
                        .zip(Type::named(kind))
                        .map(|(c, k)| Property { name: (*name).to_owned(), count: Some(c), kind: k }),
                    [kind, name] => {
                        Type::named(kind).map(|k| Property { name: (*name).to_owned(), count: None, kind: k })
                    }
                    _ => None,
                };
                let property = property.ok_or_else(|| wrong("property, a type and a name"))?;
                let element = elements.last_mut().ok_or_else(|| wrong("element before property"))?;
                element.properties.push(property);
            }
            ["end_header"] => break,
            _ => return Err(wrong("a line of a PLY head")),
        }
    }
    let format = format.ok_or_else(|| {
        error(Place::Line(n), "no format line", "format ascii, binary_little_endian or binary_big_endian", "")
    })?;
    Ok((elements, format, at, n))
}

impl Body<'_> {
    /// Numbers left at most.
    fn left(&self) -> usize {
        match self {
            Body::Text { words, next } => words.len() - next,
            Body::Binary { bytes, at, .. } => bytes.len().saturating_sub(*at),
        }
    }

    fn place(&self) -> Place {
        match self {
            Body::Text { words, next } => Place::Line(words.get(next.saturating_sub(1)).map_or(0, |w| w.0)),
            Body::Binary { at, .. } => Place::Byte(*at),
        }
    }

    fn cut_short(&self) -> ReadError {
        error(
            self.place(),
            "the end of the file",
            "as many corners and faces as its head says",
            "the copy is cut short: copy it again",
        )
    }

    fn number(&mut self, kind: Type) -> Result<f64, ReadError> {
        match self {
            Body::Text { words, next } => {
                let Some((line, word)) = words.get(*next) else { return Err(self.cut_short()) };
                *next += 1;
                // A property nobody needs may be no number.
                if word.eq_ignore_ascii_case("nan") { Ok(f64::NAN) } else { number(Some(word), *line) }
            }
            Body::Binary { bytes, at, big } => {
                let size = kind.bytes();
                let Some(raw) = bytes.get(*at..*at + size) else { return Err(self.cut_short()) };
                *at += size;
                let mut b = [0_u8; 8];
                b[..size].copy_from_slice(raw);
                if *big {
                    b[..size].reverse();
                }
                Ok(match kind {
                    Type::I8 => f64::from(b[0] as i8),
                    Type::U8 => f64::from(b[0]),
                    Type::I16 => f64::from(i16::from_le_bytes([b[0], b[1]])),
                    Type::U16 => f64::from(u16::from_le_bytes([b[0], b[1]])),
                    Type::I32 => f64::from(i32::from_le_bytes([b[0], b[1], b[2], b[3]])),
                    Type::U32 => f64::from(u32::from_le_bytes([b[0], b[1], b[2], b[3]])),
                    Type::F32 => f64::from(f32::from_le_bytes([b[0], b[1], b[2], b[3]])),
                    Type::F64 => f64::from_le_bytes(b),
                })
            }
        }
    }
}
