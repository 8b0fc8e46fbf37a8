//! One mark and one paint: from its outlines to a finished mask with its findings.

use super::between::{Between, strips_between};
use super::channel::{Across, Field};
use super::check::check;
use super::colours::{Colour, Part, colours, nearest};
use super::edge::{Draft, Ground, Meets, Said, across, blank, draft, tape_between, tape_run};
use super::ends::{Side, edge_end};
use super::facing::{Facing, facing};
use super::filling::Filling;
use super::film::film_mask;
use super::film_say::{over_others, stripe_taped};
use super::gap_tape::{self, GapTape, gap_tapes};
use super::lines::{Lay, Line, shared_lines};
use super::order::{Lot, RingRuns, pull_order, put_in_order};
use super::outline::{Cuts, Run, runs_from};
use super::overlap::overlaps;
use super::paint_order::PaintOrder;
use super::plan::{EndKind, Kind, Mask, MaskPlan, Piece, TabKind, Totals};
use super::plug::{shape, widest};
use super::say::{Tale, colours_told, findings, of_colour};
use super::shelf::{Measures, SHORT, choose};
use super::strip::Strip;
use super::tab::give_tab;
use super::tack::{tack_strip, without_scraps};
use super::together::{Shared, Together, half_way, on_others, together, told};
use super::upon::upon;
use crate::finding::{Finding, Severity};
use crate::fit::placed::Placed;
use crate::job::Job;
use crate::job::types::{Masking, Tape};
use crate::stripe::joint::is_stripe;
use crate::stripe::way::BEND;
use geom::tolerance::KEPT_MM;
use geom::{Point, Ring, Vec2};

/// Share of the cap height between two looks across the mask, and least and greatest distance, mm.
const LOOKS: (f64, f64, f64) = (0.02, 1.5, 8.0);

/// The tape plan of a job; empty without a `[masking]` table.
pub fn mask_marks(job: &Job, placed: &[Placed]) -> (MaskPlan, Vec<Finding>) {
    let mut plan = MaskPlan::default();
    let mut said = Vec::new();
    let Some(masking) = &job.masking else { return (plan, said) };
    let order = PaintOrder::new(job, placed);
    said.extend(order.told(job, placed));
    for one in together(job, placed, &Measures::new(masking)) {
        let mark = &one.mark;
        let stripe = is_stripe(mark);
        if !masking.tape && stripe {
            said.push(stripe_taped(&mark.id, !masking.edge_tapes.is_empty()));
            if masking.edge_tapes.is_empty() {
                continue;
            }
        } else if masking.tape && masking.edge_tapes.is_empty() {
            said.push(
                Finding::new(
                    Severity::Fail,
                    "no-edge-tape",
                    &mark.id,
                    "no edge tape is on the shelf: nothing can be taped",
                )
                .hint("list what you have under edge_tapes in [masking]"),
            );
            continue;
        }
        let colours = colours(job, mark, &order.ids, Measures::new(masking).plug());
        let gaps = gap_tapes(job, masking, &one, placed);
        for colour in &colours {
            let (mask, more) = if masking.tape || stripe {
                tape_mask(masking, &one, colour, &gaps)
            } else {
                film_mask(masking, mark, colour)
            };
            said.extend(gap_tape::told(&gaps, &mask));
            plan.masks.push(mask);
            said.extend(more.into_iter().map(|f| of_colour(f, colour, colours.len())));
        }
        said.extend(colours_told(job, mark, &colours, &order));
    }
    said.extend(over_others(&plan.masks, placed));
    said.extend(on_others(job, &plan.masks, placed));
    said.extend(upon(job, &mut plan.masks, placed, &order));
    (plan, said)
}

/// What is known of a mark's outlines.
pub(super) struct Outlines {
    pub(super) runs: Vec<Run>,
    pub(super) rings: Vec<RingRuns>,
    pub(super) field: Field,
    pub(super) paint: Vec<(Vec<Ring>, (Point, Point))>,
}

impl Outlines {
    /// The runs of some outlines, a glyph at a time.
    pub(super) fn new(outlines: &[(i32, &[Ring])], height: f64, cuts: Cuts) -> Outlines {
        let (mut runs, mut rings, mut paint) = (Vec::new(), Vec::new(), Vec::new());
        for (glyph, shapes) in outlines {
            let mut painted = Vec::new();
            for (k, ring) in shapes.iter().enumerate() {
                let first = runs.len();
                runs_from(ring, *glyph, k as i32, cuts, &mut runs);
                let own: Vec<usize> = (first..runs.len()).collect();
                if own.is_empty() {
                    continue;
                }
                let points = own.iter().flat_map(|r| {
                    let p = &runs[*r].points;
                    p[..p.len() - 1].iter().copied()
                });
                painted.push(Ring::from_points(points));
                rings.push(RingRuns { glyph: *glyph, hole: ring.area() < 0.0, runs: own });
            }
            if let Some(b) = super::order::bounds(&painted) {
                paint.push((painted, b));
            }
        }
        let field = Field::new(&runs, height / 10.0);
        Outlines { runs, rings, field, paint }
    }
}

/// The mask of one colour of a mark.
fn tape_mask(masking: &Masking, one: &Together, colour: &Colour, gaps: &[GapTape]) -> (Mask, Vec<Finding>) {
    let mut m = Measures::new(masking);
    let mark = &one.mark;
    let stripe = is_stripe(mark);
    let mut cuts = Cuts::LETTER;
    if stripe {
        // A stripe's tape is pulled in one run from end to end, and its long edges show a turn that a letter hides.
        m.longest = f64::INFINITY;
        cuts = Cuts { corner: BEND, at_arcs: true };
    }
    let outlines: Vec<(i32, &[Ring])> = colour
        .glyphs
        .iter()
        .enumerate()
        .filter(|(_, rings)| !rings.is_empty())
        .map(|(k, rings)| (k as i32, rings.as_slice()))
        .collect();
    let mut out = Outlines::new(&outlines, mark.height, cuts);
    if colour.part != Part::Letters {
        share_runs(&mut out.runs, mark);
    }
    let bridging: Vec<Tape> = masking.edge_tapes.iter().copied().chain(masking.tack_tape).collect();
    let step = (mark.height * LOOKS.0).clamp(LOOKS.1, LOOKS.2);
    let g = Ground {
        runs: &out.runs,
        field: &out.field,
        paint: &out.paint,
        shelf: &masking.edge_tapes,
        bridging: &bridging,
        m,
        step,
        stripe,
        gaps,
    };
    let filling = Filling::new(&out, mark, &masking.layout_tapes);
    let laid = std::thread::scope(|hands| {
        for _ in 0..filling.hands() {
            hands.spawn(|| filling.work());
        }
        let laid = lay(&g, &out, one, masking.tack_tape);
        filling.work();
        laid
    });
    let Laid { drafts, strip, tack_rings, looks, tale, said, shared } = laid;
    // What was laid first is taken out last.
    let mut pieces = filling.pieces();
    pieces.reverse();
    pieces.extend(drafts.into_iter().map(|d| d.piece));
    pieces.extend(strip);
    put_in_order(&mut pieces);
    for p in &mut pieces {
        let fold = if p.tab.kind == TabKind::Fold { m.tab } else { 0.0 };
        p.cut_length = p.path_length() + p.start.past + p.finish.past + fold;
    }
    name_colour(&mut pieces, colour.part);
    // Neither asks the other.
    let mut over = Vec::new();
    let found = std::thread::scope(|hands| {
        hands.spawn(|| over = overlaps(&pieces));
        check(&out.runs, &out.field, &out.paint, &looks, &pieces, (&m, stripe))
    });
    for (piece, over) in pieces.iter_mut().zip(over) {
        piece.over = over;
    }
    let mask = Mask {
        of: mark.id.clone(),
        with: one.with(),
        owners: one.owners(&pieces),
        upon: Vec::new(),
        surface: mark.surface.clone(),
        paint: colour.paint.clone(),
        part: colour.part,
        sprayed: colour.glyphs.clone(),
        tape: true,
        glyph_gaps: vec![m.gap; mark.glyphs.len()],
        tack_rings,
        totals: totals(&pieces),
        pieces,
        film: None,
    };
    let mut more = findings(mark, masking, &mask, &tale, &said, &found);
    more.extend(told(one, &shared));
    (mask, more)
}

/// All of a mask but its layout tape, before lengths and places in the order.
struct Laid {
    /// Edge tapes, bridges and plugs in the order of pulling.
    drafts: Vec<Draft>,
    strip: Vec<Piece>,
    tack_rings: Vec<Vec<Point>>,
    looks: Vec<(Vec<Across>, f64)>,
    tale: Tale,
    said: Said,
    shared: Shared,
}

/// Edge tapes with their bridges and tabs, plugs, and the tack strip.
fn lay(g: &Ground<'_>, out: &Outlines, one: &Together, tack: Option<Tape>) -> Laid {
    let mark = &one.mark;
    let lay = lay_of(mark);
    let looks: Vec<(Vec<Across>, f64)> = (0..out.runs.len()).map(|k| across(g, k)).collect();
    let mut tale = Tale::default();
    // Where charts of neighbours do not fit one plane, no tape runs along several letters.
    let alone = mark.charts.as_ref().is_some_and(|c| !c.one_plane(mark.height));
    let lots = share_out(g, out, &lay, &looks, (alone, one), &mut tale);
    let mut shared = Shared::default();
    let order = pull_order(&out.rings, &out.runs, &lay, &lots.of);

    let place: Vec<usize> =
        lots.of.iter().map(|lot| order.iter().position(|o| o == lot).unwrap_or(usize::MAX)).collect();
    let mut drafts: Vec<Draft> = Vec::new();
    let mut said = Said::default();
    for (n, lot) in order.iter().enumerate() {
        // Beside an edge whose tape lies along another stripe nothing else meets the corner.
        let served = |k: usize| lots.facing.iter().any(|f| f.back.contains(&k));
        let top = |k: usize| n <= place[k] || served(k);
        let between = |k: usize| served(k) || lots.facing.iter().any(|f| f.run == k);
        let mut new = match lot {
            Lot::Run(k) => {
                let run = &out.runs[*k];
                let on_top = [top(run.before), top(run.after)];
                match lots.facing.iter().find(|f| f.run == *k) {
                    Some(f) => {
                        let mitred = [run.before, run.after].map(between);
                        let looks = f.looks(&looks[*k].0, &g.m);
                        tape_between(g, run, &looks, f, Meets { on_top, mitred }, &mut said)
                    }
                    None => tape_run(g, run, &looks[*k].0, looks[*k].1, on_top, &mut said),
                }
            }
            Lot::Line(i) => {
                let line = &lots.lines[*i];
                let least = line.members.iter().map(|k| looks[*k].1).fold(f64::INFINITY, f64::min);
                let along = line_looks(&out.runs, line, &looks);
                let on_top = [top(line.run.before), top(line.run.after)];
                tape_run(g, &line.run, &along, least, on_top, &mut said)
            }
            Lot::Plug(r) => vec![plug(g, out, *r, &lay)],
            Lot::Between(i) => vec![strip_between(g, &lots.between[*i], &place, n)],
        };
        // Bridges lie on the edge tape and are pulled before it.
        new.sort_by_key(|d| d.piece.kind == Kind::Edge);
        for mut d in new {
            name(&mut d.piece, lot, &lots, out, one, &drafts);
            let serves = lots.facing.iter().filter(|f| d.piece.kind == Kind::Edge && *lot == Lot::Run(f.run));
            for (f, back) in serves.flat_map(|f| f.back.iter().map(move |b| (f, *b))) {
                let ids = [f.run, back].map(|k| one.id_at(out.runs[k].ring, half_way(&out.runs[k].points)));
                let tape = f.whole().then_some(f.tape.real);
                shared.one.push((d.piece.id.clone(), ids, f.width, tape));
            }
            drafts.push(d);
        }
    }
    for d in &mut drafts {
        give_tab(d, &out.field, &out.paint, &g.m);
    }
    let plugged = |r: usize| lots.of[out.rings[r].runs[0]] == Lot::Plug(r);
    let (mut strip, tack_rings) = tack_strip(out, plugged, tack, &g.m, g.stripe);
    let others: Vec<&[Ring]> = drafts.iter().map(|d| d.piece.footprint.as_slice()).collect();
    tale.scraps = without_scraps(&mut strip, &others);
    Laid { drafts, strip, tack_rings, looks, tale, said, shared }
}

/// Baseline and reading direction of a placed mark.
pub(super) fn lay_of(mark: &Placed) -> Lay {
    let origin = mark.glyphs.first().map_or(mark.centre, |g| g.corners[0]);
    Lay { origin, along: Vec2::from_angle(mark.angle), height: mark.height }
}

/// Gives each edge of a colour that may run along several letters to the one it lies at, or to none.
fn share_runs(runs: &mut [Run], mark: &Placed) {
    for run in runs {
        let at = |s: f64| nearest(mark, run.at(s * run.length).0);
        let first = at(0.0);
        let one = first == at(0.5) && first == at(1.0);
        run.glyph = first.filter(|_| one).map_or(-1, |k| k as i32);
    }
}

/// Pieces of a further colour say so in their names: `2A-o3` of the outline, `2A-s3` of the shadow.
pub(super) fn name_colour(pieces: &mut [Piece], part: Part) {
    let sign = match part {
        Part::Letters => return,
        Part::Outline => 'o',
        Part::Shadow => 's',
    };
    for p in pieces {
        let at = p.id.rfind('-').map_or(0, |k| k + 1);
        p.id.insert(at, sign);
    }
}

/// What each run belongs to.
struct Lots {
    of: Vec<Lot>,
    lines: Vec<Line>,
    between: Vec<Between>,
    /// Of stripes masked together.
    facing: Vec<Facing>,
}

fn share_out(
    g: &Ground<'_>,
    out: &Outlines,
    lay: &Lay,
    looks: &[(Vec<Across>, f64)],
    (alone, one): (bool, &Together),
    tale: &mut Tale,
) -> Lots {
    let mut of: Vec<Lot> = (0..out.runs.len()).map(Lot::Run).collect();
    let mut taken = vec![false; out.runs.len()];
    for (r, ring) in out.rings.iter().enumerate() {
        if !ring.hole {
            continue;
        }
        let enough = g.m.plug() - KEPT_MM;
        if let Some(wide) = widest(g.field, g.runs, &ring.runs, looks, g.m.two_strips(), enough) {
            tale.plugs.push((ring.glyph, wide));
            for k in &ring.runs {
                of[*k] = Lot::Plug(r);
                taken[*k] = true;
            }
        }
    }
    let any_straight = out.runs.iter().find(|r| r.straight());
    let width =
        any_straight.and_then(|r| choose(g.shelf, r, g.m.reach(), f64::INFINITY)).map_or(0.0, |c| c.width);
    let lines = if alone { Vec::new() } else { shared_lines(&out.runs, g.field, lay, width, g.m.longest) };
    for (i, line) in lines.iter().enumerate() {
        for k in &line.members {
            of[*k] = Lot::Line(i);
            taken[*k] = true;
        }
    }
    let facing = if one.with().is_empty() {
        Vec::new()
    } else {
        let stripe = |r: &Run| one.stripe_at(r.ring, half_way(&r.points));
        facing(&out.runs, looks, stripe, g.shelf, g.bridging, &g.m)
    };
    for f in &facing {
        taken[f.run] = true;
        for k in &f.back {
            // Its tape lies along the other edge, and is laid with that.
            of[*k] = Lot::Run(f.run);
            taken[*k] = true;
        }
    }
    let mut between = strips_between(&out.runs, looks, &taken, g.shelf, &g.m);
    if alone {
        between.retain(|b| out.runs[b.runs[0]].glyph == out.runs[b.runs[1]].glyph);
    }
    for (i, b) in between.iter().enumerate() {
        for k in b.runs {
            of[k] = Lot::Between(i);
        }
    }
    tale.lines = lines.iter().map(|l| l.name).collect();
    tale.between =
        between.iter().map(|b| b.width).fold(None, |a: Option<f64>, w| Some(a.map_or(w, |a| a.min(w))));
    Lots { of, lines, between, facing }
}

/// The looks of a shared line: those of its members, measured along the line.
fn line_looks(runs: &[Run], line: &Line, looks: &[(Vec<Across>, f64)]) -> Vec<Across> {
    let from = line.run.points[0];
    let mut out = Vec::new();
    for k in &line.members {
        let base = line.run.ways[0].dot(runs[*k].points[0] - from);
        out.extend(looks[*k].0.iter().map(|l| Across { at: l.at + base, ..*l }));
    }
    out
}

fn plug(g: &Ground<'_>, out: &Outlines, r: usize, lay: &Lay) -> Draft {
    let ring = &out.rings[r];
    let (outline, side) = shape(&out.runs, &ring.runs, lay.along);
    let first = &out.runs[ring.runs[0]];
    let mut path: Vec<Point> = Vec::new();
    for k in &ring.runs {
        let p = &out.runs[*k].points;
        path.extend(&p[..p.len() - 1]);
    }
    path.push(path[0]);
    let mut piece = blank(Kind::Plug, first, path);
    piece.width = side;
    piece.start.exact = true;
    piece.finish.exact = true;
    let tape =
        g.bridging.iter().filter(|t| t.real + KEPT_MM >= side).min_by(|a, b| a.real.total_cmp(&b.real));
    piece.label = tape.map_or(0.0, |t| t.width);
    piece.trimmed = true;
    piece.footprint = vec![outline];
    Draft { piece, free: [0.0; 2], behind: 0.0 }
}

fn strip_between(g: &Ground<'_>, b: &Between, place: &[usize], n: usize) -> Draft {
    let run = &g.runs[b.runs[0]];
    let other = &g.runs[b.runs[1]];
    let top = |k: usize, l: usize| n <= place[k] && n <= place[l];
    let mut start = edge_end(g.field, g.runs, run, Side::Start, b.width, top(run.before, other.after), &g.m);
    let mut finish =
        edge_end(g.field, g.runs, run, Side::Finish, b.width, top(run.after, other.before), &g.m);
    for end in [&mut start, &mut finish] {
        // Both edges end here: a short end would leave both bare.
        if end.end.kind == EndKind::PreCut && end.end.past <= 0.0 {
            end.short = end.short.min(SHORT);
        }
    }
    let path = run.part(start.short, run.length - finish.short);
    let footprint = Strip::open(&path, 0.0, b.width, start.shape, finish.shape);
    let mut piece = blank(Kind::Edge, run, path);
    piece.glyph = if run.glyph == other.glyph { run.glyph } else { -1 };
    piece.ring = if run.glyph == other.glyph { run.ring } else { -1 };
    piece.width = b.width;
    piece.label = b.tape.map_or(0.0, |t| t.width);
    piece.trimmed = b.tape.is_none_or(|t| t.real > b.width + KEPT_MM);
    piece.start = start.end;
    piece.finish = finish.end;
    draft(g, piece, footprint, [start.free, finish.free], b.width)
}

/// Names a piece: `2A-3`, third piece of the second character; `cap-1`, `gap-2-3`; of the stripe red `red-1`.
fn name(piece: &mut Piece, lot: &Lot, lots: &Lots, out: &Outlines, one: &Together, before: &[Draft]) {
    let mark = &one.mark;
    let stem = match lot {
        Lot::Line(i) => lots.lines[*i].name.to_owned(),
        Lot::Between(i) if piece.glyph < 0 => {
            let mut of: Vec<i32> = lots.between[*i].runs.iter().map(|k| out.runs[*k].glyph + 1).collect();
            of.sort_unstable();
            format!("gap-{}-{}", of[0], of[1])
        }
        _ if is_stripe(mark) => match one.id_at(piece.ring, half_way(&piece.path)).as_str() {
            // Tack strips are called so.
            "tack" => "tack-edge".to_owned(),
            id => id.to_owned(),
        },
        _ if piece.glyph < 0 => "along".to_owned(),
        _ => {
            let char =
                usize::try_from(piece.glyph).ok().and_then(|i| mark.glyphs.get(i)).map_or('?', |g| g.char);
            format!("{}{char}", piece.glyph + 1)
        }
    };
    let count =
        before.iter().filter(|d| d.piece.id.strip_prefix(&stem).is_some_and(|r| r.starts_with('-'))).count();
    piece.id = format!("{stem}-{}", count + 1);
}

/// Sums over the pieces.
pub(super) fn totals(pieces: &[Piece]) -> Totals {
    let sum = |kind: Kind| pieces.iter().filter(|p| p.kind == kind).fold(0.0, |sum, p| sum + p.cut_length);
    Totals {
        edge: sum(Kind::Edge),
        bridge: sum(Kind::Bridge),
        tack: sum(Kind::Tack),
        layout: sum(Kind::Layout),
        pieces: pieces.len(),
        pre_cuts: pieces
            .iter()
            .flat_map(|p| [p.start, p.finish])
            .filter(|e| e.kind == EndKind::PreCut && e.cut > 0.0)
            .count(),
        tabs: pieces.iter().filter(|p| p.tab.kind != TabKind::None).count(),
    }
}
