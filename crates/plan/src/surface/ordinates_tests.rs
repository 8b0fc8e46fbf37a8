//! Ordinate files as people have them, good and bad; all sections are made up or from the NACA formula.

use super::super::naca::Naca;
use super::*;

/// Upper and lower rows of the NACA 2412 from the nose, at unit chord.
fn faces() -> [Vec<Point>; 2] {
    let naca = Naca::new("2412").unwrap();
    [true, false].map(|upper| (0..=20).map(|i| naca.at(f64::from(i) / 20.0, upper).0).collect())
}

fn listed(points: &[Point], scale: f64, gap: &str) -> String {
    points.iter().map(|p| format!("{:.6}{gap}{:.6}\n", p.x * scale, p.y * scale)).collect()
}

fn loop_of(first: &[Point], second: &[Point]) -> Vec<Point> {
    first.iter().rev().chain(&second[1..]).copied().collect()
}

fn girths(text: &str) -> [f64; 2] {
    let (section, remarks) = read("made-up.dat", text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
    assert!(remarks.is_empty(), "{remarks:?}");
    [section.girth(true), section.girth(false)]
}

fn refused(text: &[u8]) -> Vec<Problem> {
    let problems = read("made-up.dat", text).unwrap_err();
    assert!(problems.iter().all(|p| p.file == "made-up.dat" && p.span.end <= text.len()));
    problems
}

#[test]
fn every_layout_of_the_same_rows_gives_the_same_section() {
    let [up, down] = faces();
    let over = loop_of(&up, &down);
    let want = girths(&listed(&over, 1.0, " "));
    let lists = |scale| format!("{}\n{}", listed(&up, scale, "  "), listed(&down, scale, "  "));
    let texts = [
        format!("a made-up title\n# a remark\n\n{}", listed(&over, 1.0, "\t")),
        listed(&loop_of(&down, &up), 1.0, ", "),
        listed(&over, 100.0, ",").replace('\n', "\r\n"),
        format!("\u{feff}Section 2412\n{}", listed(&over, 1.0, " ").replace('\n', "  # row\n")),
        lists(1.0),
        format!("Title\n21. 21.\n\n{}", lists(100.0)),
        format!("{}{}", listed(&down, 1.0, " "), listed(&up, 1.0, " ")),
    ];
    for text in texts {
        let got = girths(&text);
        for (got, want) in got.iter().zip(want) {
            assert!((got - want).abs() < 1e-6, "{got} {want} from\n{}", &text[..60]);
        }
    }
}

#[test]
fn the_upper_face_is_the_longer_one_of_a_cambered_section_whatever_comes_first() {
    let [up, down] = faces();
    let [upper, lower] = girths(&listed(&loop_of(&down, &up), 1.0, " "));
    assert!(upper > lower);
}

#[test]
fn the_leading_edge_is_the_row_at_the_origin_not_the_foremost_one() {
    let [mut up, down] = faces();
    // A row in front of and over the origin, as cambered sections have them.
    up[1] = Point::new(-0.0005, 0.006);
    let (section, _) = read("a.dat", listed(&loop_of(&up, &down), 1.0, " ").as_bytes()).unwrap();
    assert!(section.at(true, 0.0).0.to_vec2().hypot() < 1e-9);
}

#[test]
fn an_open_trailing_edge_stays_open() {
    let [up, down] = faces();
    let (section, _) = read("a.dat", listed(&loop_of(&up, &down), 1.0, " ").as_bytes()).unwrap();
    for (upper, face) in [(true, &up), (false, &down)] {
        assert!(section.at(upper, section.end(upper)).0.distance(face[20]) < 2e-6);
    }
}

#[test]
fn a_table_measured_from_under_the_section_is_moved_to_its_nose_and_says_so() {
    let [up, down] = faces();
    let low: Vec<Point> = loop_of(&up, &down).iter().map(|p| *p + Vec2::new(0.0, 0.035)).collect();
    let (section, remarks) = read("a.dat", listed(&low, 1.0, " ").as_bytes()).unwrap();
    assert!(section.at(true, 0.0).0.to_vec2().hypot() < 1e-9);
    assert!(remarks.len() == 1 && remarks[0].contains("0.035"), "{remarks:?}");
    let want = girths(&listed(&loop_of(&up, &down), 1.0, " "));
    assert!((section.girth(true) - want[0]).abs() < 1e-6);
}

#[test]
fn every_bad_row_is_told_at_its_place() {
    let text = "title\n1.0 0.0\n0.5 O.05\n0.25\n0 nan\n0.5 inf\n0,5 0,1\n1 2 3\n";
    let found = refused(text.as_bytes());
    let places: Vec<&str> = found.iter().map(|p| &text[p.span.clone()]).collect();
    assert_eq!(places, ["0.5 O.05", "0.25", "0 nan", "0.5 inf", "0,5 0,1", "1 2 3"]);
    let first = refused(b"1.0 O.001\n0.5 0.1\n");
    assert!(first[0].span == (0..9), "a slip in the first row is no title: {first:?}");
}

#[test]
fn files_that_are_no_section_are_refused() {
    let [up, down] = faces();
    let over = loop_of(&up, &down);
    let mut jumbled = over.clone();
    jumbled.swap(5, 9);
    let mut crossed = over.clone();
    crossed[30].y = 0.2;
    let short = loop_of(&up, &down).into_iter().step_by(6).collect::<Vec<_>>();
    let flat: Vec<Point> = over.iter().map(|p| Point::new(p.x, 0.0)).collect();
    let late: Vec<Point> = over.iter().map(|p| Point::new(0.02 + 0.98 * p.x, p.y)).collect();
    let texts = [
        String::new(),
        "only a title\n".to_owned(),
        listed(&jumbled, 1.0, " "),
        listed(&crossed, 1.0, " "),
        listed(&short, 1.0, " "),
        listed(&flat, 1.0, " "),
        listed(&late, 1.0, " "),
        listed(&over, 60.0, " "),
        listed(&up, 1.0, " "),
        format!("9 9\n{}", listed(&over, 1.0, " ")),
        "0.5 0.1\n".repeat(MOST_ROWS + 1),
    ];
    for text in &texts {
        assert!(!refused(text.as_bytes()).is_empty(), "{}", &text[..text.len().min(60)]);
    }
    assert!(refused(b"\x7fELF\x02\x01\x01\0\0\0")[0].message.contains("not text"));
}

#[test]
fn a_thin_table_is_taken_with_a_remark() {
    let rows = "1 0\n0.5 0.16\n0.2 0.2\n0.05 0.12\n0 0\n0.05 -0.1\n0.2 -0.12\n0.5 -0.1\n1 0\n";
    let (_, remarks) = read("a.dat", rows.as_bytes()).unwrap();
    assert!(remarks.iter().any(|r| r.contains("few rows")), "{remarks:?}");
}
