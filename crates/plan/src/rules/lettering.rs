//! The proportions a pack asks of its characters, for a mark whose job file leaves them out.

use super::figure::{Figure, FigureUnit, Limit};
use super::pack::Pack;

/// Proportions of a pack; `None` where it says nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    /// Width of a standard character, of the height.
    pub width_ratio: Option<Figure>,
    /// Characters of another width, in the pack's order.
    pub exceptions: Vec<WidthRange>,
    /// Widths permitted to M and W, of the height: from the first figure to the second.
    pub wide_ratio: Option<(Figure, Figure)>,
    /// Thickness of a stroke, of the height.
    pub stroke_ratio: Option<Figure>,
    /// Gap between characters, of the width of a standard character.
    pub gap_ratio: Option<Figure>,
    /// Gap between groups, of the height; of the standard character as it is painted (`FigureUnit::Width`)
    /// where the pack does not fix the width.
    pub group_gap_ratio: Option<Figure>,
    /// Length of the hyphen, of the height.
    pub hyphen_ratio: Option<Figure>,
}

/// Width of some characters, of the height.
#[derive(Clone, Debug, PartialEq)]
pub struct WidthRange {
    /// Which characters.
    pub characters: String,
    /// Least width.
    pub least: f64,
    /// Greatest width.
    pub most: f64,
    /// Where that is said; with `Limit::None` nothing is asked and the width is only the usual one.
    pub figure: Figure,
}

impl Pack {
    /// The proportions asked, the same for every craft and place.
    pub fn lettering(&self) -> Lettering {
        let standard = self.width.as_ref().map_or(1.0, |width| width.value);
        let fixed = self.width.is_some();
        let of_height = |figure: &Figure| match figure.unit {
            FigureUnit::Width if fixed => {
                Figure { value: figure.value * standard, unit: FigureUnit::Height, ..figure.clone() }
            }
            _ => figure.clone(),
        };
        let exceptions: Vec<WidthRange> = (self.width_exceptions.iter())
            .map(|exception| {
                let figure = of_height(&exception.width);
                let least = if figure.limit == Limit::May { standard } else { figure.value };
                WidthRange { characters: exception.characters.clone(), least, most: figure.value, figure }
            })
            .collect();
        let wide = exceptions.iter().find(|range| range.characters.contains('M'));
        let wide_ratio = match (&self.width, wide) {
            (Some(width), Some(range)) => Some((width.clone(), range.figure.clone())),
            (Some(width), None) => Some((width.clone(), width.clone())),
            (None, _) => None,
        };
        Lettering {
            width_ratio: self.width.clone(),
            wide_ratio,
            exceptions,
            stroke_ratio: self.stroke.clone(),
            gap_ratio: self.gap.clone(),
            group_gap_ratio: self.group_gap.as_ref().map(of_height),
            hyphen_ratio: self.hyphen_length.as_ref().map(of_height),
        }
    }
}

impl Lettering {
    /// The widths asked of a character, of the height: from the first to the second, and where that is
    /// said. `None` if the pack asks nothing of it.
    pub fn width_of(&self, character: char) -> Option<(f64, f64, &Figure)> {
        if character == '-' {
            return self.hyphen_ratio.as_ref().map(|figure| (figure.value, figure.value, figure));
        }
        if let Some(range) = self.exceptions.iter().find(|range| range.characters.contains(character)) {
            return Some((range.least, range.most, &range.figure));
        }
        self.width_ratio.as_ref().map(|figure| (figure.value, figure.value, figure))
    }

    /// Whether the widest M and W are wider than a standard character.
    pub fn widest(&self) -> f64 {
        self.wide_ratio.as_ref().map_or(1.0, |(_, most)| most.value)
    }

    /// Length of a mark at `height`, in its unit, with the least gaps; `wide` is the width of the characters
    /// that have a choice, of the height, held within what is permitted.
    ///
    /// The gap is a share of the standard width everywhere, whatever the neighbours. `None` if the pack does
    /// not fix the proportions.
    pub fn length(&self, text: &str, height: f64, wide: f64) -> Option<f64> {
        let gap = self.gap_ratio.as_ref()?.value * self.width_ratio.as_ref()?.value;
        let mut length = 0.0;
        let mut before: Option<char> = None;
        for character in text.chars() {
            length += if character == ' ' {
                self.group_gap_ratio.as_ref().filter(|gap| gap.unit == FigureUnit::Height)?.value
            } else {
                let (least, most, _) = self.width_of(character)?;
                let between = before.is_some_and(|before| before != ' ');
                wide.clamp(least, most) + if between { gap } else { 0.0 }
            };
            before = Some(character);
        }
        Some(length * height)
    }
}
