//! Good files in every form, and the same files damaged in every way: a message, never a stop.

use super::*;
use crate::Mesh;
use proptest::prelude::*;

/// The cube of the mesh tests in each form.
fn cube() -> Soup {
    let corner = |k: u32| geom::Point3::new((k & 1) as f64, (k >> 1 & 1) as f64, (k >> 2) as f64) * 10.0;
    let squares = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    Soup {
        points: (0..8).map(corner).collect(),
        triangles: squares.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect(),
        normals: Vec::new(),
    }
}

fn stl_binary(soup: &Soup, head: &[u8]) -> Vec<u8> {
    let mut out = head.to_vec();
    out.resize(80, b' ');
    out.extend((soup.triangles.len() as u32).to_le_bytes());
    for t in &soup.triangles {
        out.extend([0; 12]);
        for v in t.iter().flat_map(|&k| soup.points[k as usize].to_array()) {
            out.extend((v as f32).to_le_bytes());
        }
        out.extend([0; 2]);
    }
    out
}

fn stl_text(soup: &Soup) -> Vec<u8> {
    let mut out = String::from("solid cube\n");
    for t in &soup.triangles {
        out += "facet normal 0 0 0\n outer loop\n";
        for p in t.map(|k| soup.points[k as usize]) {
            out += &format!("  vertex {} {} {}\n", p.x, p.y, p.z);
        }
        out += " endloop\nendfacet\n";
    }
    (out + "endsolid cube\n").into_bytes()
}

/// Squares as faces of four, half of them with negative numbers and one across two lines.
fn obj() -> Vec<u8> {
    let mut out = String::from("# a cube\no cube\n");
    for p in cube().points {
        out += &format!("v {} {} {} 1.0\r\n", p.x, p.y, p.z);
    }
    out += "f 1 3 4 2\nf 5//1 6//1 8//1 7//1\nf -8 -7 \\\n -3 -4\nf 3/1 7/2 8/3 4/4\nl 1 2\nf 1 5 7 3\nf 2 4 8 6\n";
    out.into_bytes()
}

fn ply(kind: &str) -> Vec<u8> {
    let soup = cube();
    let mut out = format!(
        "ply\nformat {kind} 1.0\ncomment made here\nelement vertex 8\nproperty double x\nproperty double y\n\
         property uchar tone\nproperty double z\nelement face 12\nproperty list uchar int vertex_indices\nend_header\n"
    )
    .into_bytes();
    let bytes = |v: &[u8]| {
        let mut v = v.to_vec();
        if kind == "binary_big_endian" {
            v.reverse();
        }
        v
    };
    for p in &soup.points {
        if kind == "ascii" {
            out.extend(format!("{} {} 7 {}\n", p.x, p.y, p.z).bytes());
        } else {
            out.extend(bytes(&p.x.to_le_bytes()));
            out.extend(bytes(&p.y.to_le_bytes()));
            out.push(7);
            out.extend(bytes(&p.z.to_le_bytes()));
        }
    }
    for [a, b, c] in soup.triangles {
        if kind == "ascii" {
            out.extend(format!("3 {a} {b} {c}\n").bytes());
        } else {
            out.push(3);
            [a, b, c].iter().for_each(|k| out.extend(bytes(&k.to_le_bytes())));
        }
    }
    out
}

fn all() -> Vec<(Vec<u8>, Format)> {
    vec![
        (stl_binary(&cube(), b"made by a scanner"), Format::Stl),
        (stl_binary(&cube(), b"solid that is binary\nfacet"), Format::Stl),
        (stl_text(&cube()), Format::Stl),
        (obj(), Format::Obj),
        (ply("ascii"), Format::Ply),
        (ply("binary_little_endian"), Format::Ply),
        (ply("binary_big_endian"), Format::Ply),
    ]
}

#[test]
fn the_same_cube_is_read_from_every_kind_of_file() {
    for (bytes, wanted) in all() {
        let (soup, format) = soup(&bytes).unwrap();
        assert_eq!(format, wanted);
        let (mesh, found) = Mesh::joined(&soup, 0.001).unwrap();
        assert_eq!((mesh.points().len(), mesh.triangles().len()), (8, 12), "{wanted:?}");
        assert!((mesh.area() - 600.0).abs() < 1e-9);
        assert!(found.components[0].closed && found.inside_out == 0, "{wanted:?}");
    }
}

#[test]
fn a_file_that_ends_early_is_refused_wherever_it_ends() {
    for (bytes, format) in all() {
        // An OBJ may end after any face and be whole; a text STL may lose the name at its very end.
        let least = if format == Format::Obj { 40 } else { bytes.len() - 6 };
        for end in 0..least {
            assert!(soup(&bytes[..end]).is_err(), "{format:?} cut at {end} of {}", bytes.len());
        }
    }
}

#[test]
fn what_is_wrong_is_said_with_its_place() {
    let said = |bytes: &[u8]| soup(bytes).unwrap_err().to_string();
    assert_eq!(said(b" \n"), "found an empty file, expected a scan; copy the file again");
    assert!(said(b"v 1 2 3\nf 1 2 3\n").starts_with("line 2: found corner 3, expected one of the 1 corners"));
    assert!(said(b"v 1 2 x\n").starts_with("line 1: found \"x\", expected a number"));
    assert!(
        said(b"solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2\n").starts_with("line 4: found the end")
    );
    assert!(said(b"solid\nbanana\n").starts_with("line 2: found \"banana\", expected facet or endsolid"));
    let huge =
        b"ply\nformat binary_little_endian 1.0\nelement vertex 99999999999\nproperty float x\nend_header\n";
    assert!(said(huge).contains("the copy is cut short"));
    let mut many = stl_binary(&cube(), b"");
    many[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    assert!(said(&many).contains("4294967295 triangles, as its head says"));
    assert!(said(b"v 0 0 0\nv 1 0 0\nv 0 1 0\n").starts_with("found no triangle"));
    assert!(said(b"<html></html>").contains("STL, OBJ or PLY"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_damaged_file_never_stops_the_program(
        which in 0..7_usize,
        changes in prop::collection::vec((0.0..1.0_f64, any::<u8>()), 1..12),
        cut in 0.0..1.3_f64,
        twice in any::<bool>(),
    ) {
        let mut bytes = all()[which].0.clone();
        for (at, value) in changes {
            let k = (at * bytes.len() as f64) as usize;
            bytes[k] = value;
        }
        if cut < 1.0 {
            bytes.truncate((cut * bytes.len() as f64) as usize);
        }
        if twice {
            bytes.extend(bytes.clone());
        }
        match soup(&bytes) {
            Ok((soup, _)) => {
                let joined = Mesh::joined(&soup, 0.001);
                prop_assert!(joined.is_none_or(|(mesh, _)| !mesh.triangles().is_empty()));
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}

#[test]
fn a_text_file_that_ends_within_a_line_is_said_to_end_early() {
    let said = |text: &str| soup(text.as_bytes()).unwrap_err().to_string();
    let stl = "solid x\nfacet normal 0 0 0\nouter loop\nvertex 1 2 3\nvertex 4 5 6\nvertex 7 8 8\n e";
    let early = "the file ends early, within this line: copy it again";
    assert!(said(stl).starts_with("line 7") && said(stl).ends_with(early), "{}", said(stl));
    // The line of a face that goes on over three and stops in the second.
    let obj = "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\nf 1//1 \\\n 2//";
    assert!(said(obj).starts_with("line 5") && said(obj).ends_with(early), "{}", said(obj));
    // A fault with more after it, or in a line that was ended, is no early end.
    for whole in [format!("{stl}\nvertex 1 1 1\n"), format!("{stl}\n"), format!("{obj}\nv 0 0 1\n")] {
        assert!(!said(&whole).contains("ends early"), "{}", said(&whole));
    }
}
