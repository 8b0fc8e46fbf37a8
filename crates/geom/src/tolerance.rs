//! Every tolerance by name: what it bounds, its unit, and why it has this value.
//!
//! Two different things live here: noise (rounding that cannot be avoided) and tolerance (an error the
//! painter accepts). They are never mixed.
//!
//! Error budget of a cut line, mm: curve to polyline 0.01, offset 0.01, grid 0.001, unrolling 0.01,
//! output 0.001; the whole chain stays within 0.05.

/// Largest distance, mm, between a curve and the polyline printed in its place.
/// A knife wanders 0.1 mm; this is a tenth of that.
pub const FLATTEN_MM: f64 = 0.01;

/// Largest distance, mm, between a slanted curve and the arcs that stand for it: half of what a curve may lose, so
/// that cutting those arcs into chords still has room.
pub const SHEAR_MM: f64 = 0.005;

/// Step, mm, of the fixed grid on which outlines are united and cut (one micrometre).
pub const GRID_MM: f64 = 0.001;

/// Step, mm, to which every length in a plan is rounded on its way out.
pub const OUTPUT_MM: f64 = 0.001;

/// Noise, mm: two points nearer than this are one point. Coordinates reach 100 m = 1e5 mm, where a
/// rounding step of `f64` is 1.5e-11 mm; a hundred operations later this still has room.
pub const NOISE_MM: f64 = 1e-7;

/// Noise for numbers of about one (angles in radians, ratios, unit-height letters).
pub const NOISE_UNIT: f64 = 1e-9;

/// Error, mm, of a distance that is searched for rather than solved (depth inside a concave feature).
/// Fifty times finer than the 0.05 mm promised in a plan.
pub const DISTANCE_MM: f64 = 0.001;

/// Slack, mm, within which a clearance counts as kept: one rounding step of the plan.
pub const KEPT_MM: f64 = 0.001;

/// Relative noise: two ways of adding up one length or angle that agree to this share agree. A hundred
/// rounding steps of `f64`; used to stop subdividing an integral and to stop Newton's steps.
pub const NOISE_RELATIVE: f64 = 2e-14;

/// Sine of the angle, radians, under which two directions count as parallel.
/// The crossing of lines nearer to parallel would lie beyond 1e12 times their distance.
pub const PARALLEL_SINE: f64 = 1e-12;

/// Chords at root and tip, mm, that differ by less belong to a skin without taper: over a whole panel the
/// two unrollings then differ by less than this, and the apex of the cone would be a million kilometres off.
pub const EQUAL_CHORDS_MM: f64 = 1e-6;

/// Distance, mm, by which a feature may reach beyond a panel's edge before it is cut off there.
/// chosen: a steel tape is read to half a millimetre; less is the reading, not the feature.
pub const OVERHANG_MM: f64 = 0.5;

/// Greatest distance, mm, of a polygon that stands for a disc from its circle, measured outwards, where the
/// disc has to be cut at a panel's edge. One step of the plan's rounding.
pub const DISC_CUT_MM: f64 = 0.001;

/// Distance, in chords, under which two neighbouring rows of an ordinate file are one point.
/// Printed tables carry five or six decimals; a repeated nose or trailing edge repeats them all.
pub const SAME_ORDINATE: f64 = 1e-7;

/// Distance, in chords, from the point (0, 0) within which a row of an ordinate file is taken for the
/// leading edge, and from station 0 within which its foremost row is. chosen: one per cent of the chord.
pub const NOSE_REACH: f64 = 0.01;

/// Share by which the last station of an ordinate file may miss 1 (or 100 per cent). chosen: tables of
/// old sections end at 0.9975 or 1.0002 where the trailing edge was rounded or cut.
pub const STATION_REACH: f64 = 0.02;

/// Difference, in chords, between the girth of the curve and of straight joins from which an ordinate file
/// is too thin to trust: twice what 33-row tables lose (0.0026 chords).
pub const SPARSE_GIRTH: f64 = 0.005;

/// Distance, in chords, between the leading edge of an ordinate file and (0, 0) from which the painter is told.
/// chosen: a thousandth, 1/16 in on 60 in, what a tape reads there at best.
pub const NOSE_TOLD: f64 = 0.001;
/// Noise, mm, within which a length meets the least or greatest length of a rule: the rounding step of a
/// plan, so that a mark laid out at exactly the limit never fails. Not the shop's tolerance.
pub const RULE_NOISE_MM: f64 = 0.001;

/// Noise, degrees, within which an angle meets the greatest angle of a rule: over a mark 3 m long it
/// moves an end by a twentieth of the rounding step of a plan.
pub const RULE_NOISE_DEG: f64 = 1e-6;

/// Largest distance, in cap heights, between a curve of a font and the chords cut in its place. At letters
/// 2 m high this is 0.008 mm, so that with the grid they are united on they stay within `FLATTEN_MM`.
pub const GLYPH_FLATTEN: f64 = 4e-6;

/// Mean thickness, in cap heights, up to which a ring of a font's character is a crumb left by parts that
/// nearly meet, not paint. chosen: on letters 300 mm high 0.03 mm, less than a knife can follow.
pub const GLYPH_CRUMB: f64 = 1e-4;

/// Slack, mm, that a search for a place allows itself so that a slot exactly as wide as the mark is found:
/// a fifth of what still counts as kept, so that rounding the answer cannot break it.
pub const FLOOR_MM: f64 = 0.0002;

/// Clearance or distance, mm, to which a search settles its answer: a five-hundredth of the 0.05 mm promised.
pub const SETTLED_MM: f64 = 0.0001;

/// Places whose clearance or distance differs by less, mm, are as good as each other (the contract's ties).
pub const TIE_MM: f64 = 0.001;

/// Distance, mm, from a circle within which corners of an outline on the grid are taken for corners on it: the
/// grid's half step either way, twice.
pub const BEND_MM: f64 = 0.002;

/// Distance, mm, between a paint edge and the chords along which tape is planned: half of what a cut line may
/// be off, so that tape against paint stays within it.
pub const TAPE_PATH_MM: f64 = 0.004;

/// Area, mm2, up to which two pieces of tape that share it only touch: a hair 50 mm long and 0.001 mm wide.
pub const TAPE_TOUCH_MM2: f64 = 0.05;

/// Distance, mm, by which a piece of tape may lie on paint, or leave an edge bare, before it is a fault.
pub const TAPE_KEPT_MM: f64 = 0.02;

/// Area, mm2, by which a piece may lose to paint and still be left as it was drawn: less than what rounding to
/// the grid takes from it.
pub const TAPE_SAME_MM2: f64 = 0.002;

/// Sine of a turn up to which a corner of a piece counts as straight when it is asked for dents: the grid's
/// rounding of a side 1 mm long.
pub const TAPE_DENT_SINE: f64 = 0.001;

/// Distance, mm, by which the fair middle of a stripe may miss a point it runs through: a hundredth of a cut line's.
pub const FAIR_MM: f64 = 0.0005;

/// Miss of a fair line at which its solution is not taken any nearer, mm: a thousandth of what is asked of it.
pub const FAIR_SETTLED_MM: f64 = 5e-7;

/// Step, rad or share of a span, by which the unknowns of a fair line are moved to see what they do: the root of what
/// rounding leaves, so that neither it nor the bend of the law shows.
pub const FAIR_STEP: f64 = 1e-6;

/// Angle, rad, by which a cut may miss a right angle and still be called square: 0.1 mm over a metre.
pub const SQUARE_CUT: f64 = 1e-4;

/// Move, mm, of the points that hold a smooth flat map at which laying it flat has come to rest: a thousandth of the
/// rounding step of a plan.
pub const LAID_MM: f64 = 1e-6;

/// Distance, mm, within which a way over the skin must come to the place aimed at: a fiftieth of what a cut line may be off.
/// Over triangles a way jumps at corners and cannot always be put right any finer.
pub const STRIP_AIM_MM: f64 = 0.001;

/// Largest distance, mm, between the line a stripe runs along on a skin that curves both ways and the straightest
/// joins it is walked in: with that of its edges within what an offset may be off.
pub const STRIP_RISE_MM: f64 = 0.005;
