//! The text of one job with every key of the job file in it, in any unit.

/// The job; a number in angle brackets is a length in inches.
const FULL: &str = r##"# An invented floatplane with an invented mark.
title = "Floatplane, right wing panel"
units = "in"
rules = "us-14cfr45"
rule_tolerance = "1/16 in"
alike = [["reg-upper", "reg-fin"]]
alike_place = "own"

[craft]
category = "fixed-wing"
built = 1941
max_cruise_kt = 95
mass_kg = 900
special = "none"
adiz = false

[survey]
error = "1/16 in"

[[ground]]
id = "cream"
colour = "#efe6cf"
finish = "solid"
shot = 2026-06-04T15:00:00
dry_to_tape = { time = "24 h", at = "21 C" }
scuff_after = "48 h"

[[ground]]
id = "silver"
reflectance = 0.55
finish = "metallic"
dry_to_tape = "1 h 30 min"

[[surface]]
id = "upper-right"
kind = "wing"
half = "right"
side = "upper"
span = <168>
chord = [<60>, <54>]
sweep = <-3>
rise = <2>
washout_deg = 2.5
section = ["naca2412", "tip.dat"]
breaks = [{ s = <96>, chord = <58>, sweep = <-1>, rise = <0.5>, washout_deg = 1, section = "mid.dat", girth = <59.5> }]
tip_bow = <6>
girth = [<61.625>, <55.5>]
t_from = "leading-edge"
ribs = { every = <12>, tape = <2> }
material = "fabric"
panel = "right-wing"

[[surface.part]]
id = "aileron"
corners = [[<84>, <46>], [<168>, <46>], [<168>, <61.5>], [<84>, <61.5>]]
hinge = [[<84>, <46>], [<168>, <46>]]
control = true
balanced = true

[[surface.feature]]
id = "ring-3"
kind = "ring"
at = [<42>, <30>]
diameter = <4.5>
clearance = <0.5>
removable = false
cross = "never"

[[surface.feature]]
id = "hatch"
kind = "plate"
corners = [[<20>, <20>], [<26>, <20>], [<26>, <24>]]
removable = true
cross = "square"

[[surface.feature]]
id = "spar-rivets"
kind = "rivets"
path = [[<0>, <18>], [<168>, <18>]]
width = <0.75>
pitch = <1>
head = <0.25>
cross = "any"

[[surface]]
id = "fin"
kind = "flat"
side = "left"
corners = [[<0>, <0>], [<30>, <0>], [<24>, <40>], [<6>, <40>]]
ribs = { at = [<0>, <12>, <24>], tape = <1> }
material = "metal"

[[surface.feature]]
id = "skin-seam"
kind = "seam"
path = [[<3>, <20>], [<27>, <20>]]

[[surface]]
id = "left-side"
kind = "body"
side = "left"
waterline = <-2>
stations = [
  { s = <0>, half_width = <16>, top = <20>, bottom = <-22>, power = 2.5 },
  { s = <60>, points = [[<0>, <20>], [<14>, <12>], [<17>, <0>], [<12>, <-16>], [<0>, <-22>]] },
  { s = <120>, half_width = <6>, top = <12>, bottom = <-8> },
]

[[surface]]
id = "wheel-fairing"
kind = "mesh"
file = "fairing.stl"
unit = "cm"
smooth = <0.5>
axes = { up = [0, 0, 1], aft = [1, 0.1, 0], datum = [2, 0, "9 cm"] }

[[surface.part]]
id = "lid"
corners = [[10, 20, 3], [20, 20, 3], [20, 20, "9 cm"]]
hinge = [[10, 20, 3], [20, 20, 3]]

[[surface.feature]]
id = "valve-hole"
kind = "port"
at = [12, "200 mm", 5]
diameter = "3/4 in"

[[surface.feature]]
id = "edge-seam"
kind = "seam"
path = [[1, 2, 3], [4, 5, 6]]

[[surface.feature]]
id = "name-plate"
kind = "placard"
corners = [[1, 2, 3], [4, 2, 3], [4, 5, 3]]

[[surface]]
id = "right-side"
kind = "body"
side = "right"
waterline = <-2>
stations = [
  { s = <0>, half_width = <16>, top = <20>, bottom = <-22> },
  { s = <120>, half_width = <6>, top = <12>, bottom = <-8> },
]

[[mark]]
id = "reg-upper"
surface = "upper-right"
text = "N417RW"
location = "wing-upper-right"
legal = true
letters = "clipped"
height = <30>
width_ratio = 0.6667
wide_ratio = 1.0
stroke_ratio = 0.1667
gap_ratio = 0.25
spacing = "optical"
pairs = { "N4" = -0.02, "RW" = 0.05 }
line_gap_ratio = 0.4
line_align = "left"
along = "span"
slant_deg = 0
tops = "trailing-edge"
place = "nearest"
aim = [<84>, <30>]
within = [[<8>, <4>], [<160>, <4>], [<160>, <56>], [<8>, <56>]]
paint = "blue"
over = "cream"
outline = { width = <0.5>, paint = "gold" }

[[mark]]
id = "reg-fin"
surface = "fin"
text = "N417RW"
letters = { font = "own.ttf" }
height = "largest"
place = { at = [<15>, <18>] }
shadow = { by = [<1>, <-1>], paint = "gold" }

[[mark]]
id = "name"
surface = "wheel-fairing"
text = "Grey\\nHeron"
legal = false
height = "2 1/2 in"
place = { at = [10, 20, "3 cm"], toward = [12, 20, 3] }
aim = [11, 20, 3]
toward = [12, 20, "30 mm"]
within = [[5, 20, 0], [30, 20, 0], [30, 20, "10 cm"]]

[[stripe]]
id = "cheat"
surface = "left-side"
through = [[<20>, <12>], [<80>, <14.5>], [<100>, <13>]]
width = [<2>, <1>, <0.5>]
ends = ["square", "point"]
paint = "blue"
over = "silver"

[[stripe]]
id = "pin"
surface = "left-side"
through = [[<20>, <16>], [<80>, <18.5>], [<100>, <17>]]
heights = "waterline"
loose = [<0>, <0.25>, <0>]
width = <0.5>
ends = ["point", "swallowtail"]
end_length = [<3>, <1>]

[[stripe]]
id = "pin-right"
surface = "right-side"
mirror_of = "pin"

[[stripe]]
id = "level"
surface = "fin"
along = { waterline = <4>, off = <1>, from = <2>, to = <20> }
width = <1>

[[stripe]]
id = "rim"
surface = "fin"
along = { edge = "lower", off = <1> }
width = <1>

[[stripe]]
id = "by-seam"
surface = "fin"
along = { feature = "skin-seam", off = <-1> }
width = <1>

[[stripe]]
id = "short-cut"
surface = "fin"
along = { straight = [[<4>, <10>], [<20>, <12>]] }
width = <1>

[[stripe]]
id = "beside"
surface = "fin"
along = { stripe = "level", gap = <0.5>, side = "below" }
width = <1>

[[stripe]]
id = "taped-gap"
surface = "fin"
along = { stripe = "beside", gap_tape = "1/2 in", side = "below" }
width = <1>

[masking]
method = "cut-mask"
gap = <0.375>
overlap = <0.125>
longest_piece = <60>
tab = <0.5>
edge_tapes = [{ width = "1/2 in", real = "12.7 mm", roll = "36 yd", strain = 0.05 }, { width = "1/8 in" }]
tack_tape = { width = "3/4 in", real = "18 mm", roll = "60 yd" }
layout_tapes = [{ width = "1 in", roll = "60 yd" }, { width = "2 in", roll = "60 yd" }]
paper = [{ width = "12 in" }, { width = "18 in" }]
edge_dwell = "24 h"
film = [{ width = "24 in", roll = "25 yd" }, { width = "15 in" }]
application_tape = { width = "12 in" }

[[paint]]
id = "blue"
colour = "#1b2f52"
system = "two-pack"
parts = [{ name = "base", parts = 4 }, { name = "hardener", parts = 1 }, { name = "reducer", parts = 1 }]
volume_solids = 0.42
dry_density = 1.4
pot_life = { time = "2 h", at = "21 C" }
coats = [
  { kind = "fog", count = 3, film_um = 8, flash = { least = "5 min", most = "10 min", at = "21 C" } },
  { kind = "wet", count = 1, film_um = 40, after = "45 min" },
]
pull_edge = { state = "tacky", from = "5 min", by = "20 min", at = "21 C" }
unmask = { from = "6 h", by = "12 h", at = "21 C" }
dry_to_tape = { time = "12 h", at = "21 C" }
polish_after = "5 d"
transfer_efficiency = 0.5
isocyanate = true

[[paint]]
id = "gold"
reflectance = 0.3
system = "enamel"

[gun]
fan = <8>
overlap = 0.5
speed = "18 in/s"

[conditions]
air = "77 F"
surface = "20 C"
humidity = 45
air_from = "left"
forecast = [{ at = "08:30", air = "59 F", surface = "14 C", humidity = 70 }]

[shop]
hands = 2
opens = "07:30"
closes = "18:00"
date = 2026-06-06
labour = "our-rates.toml"

[patterns]
paper = <24>
pounce = true
whole = true
mirror = false
"##;

/// The full job with each of its lengths, in inches, typed by `typed`.
pub(super) fn full_with(typed: impl Fn(f64) -> String) -> String {
    let mut text = String::new();
    for (idx, piece) in FULL.split(['<', '>']).enumerate() {
        if idx % 2 == 0 {
            text.push_str(piece);
        } else {
            text.push_str(&typed(piece.parse().unwrap()));
        }
    }
    text
}

/// The full job in plain inches.
pub(super) fn full() -> String {
    full_with(|inches| format!("{inches}"))
}
