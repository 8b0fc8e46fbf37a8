//! The name of every check, the same in a finding, in a ledger of `docs/conformance/` and here.

macro_rules! codes {
    ($($name:ident = $code:literal: $what:literal,)*) => {
        $(#[doc = $what] pub const $name: &str = $code;)*
        /// Every code, with what is checked.
        pub const ALL: &[(&str, &str)] = &[$(($code, $what)),*];
    };
}

codes! {
    FORBIDDEN_CHARACTER = "forbidden-character": "A character the rule never allows.",
    GRAMMAR = "grammar": "The text is of a form the rule allows.",
    HYPHEN = "hyphen": "A hyphen or group gap stands where the rule wants one and nowhere else.",
    FORM_CONDITION = "form-condition": "The form of the text is allowed for this craft.",
    RESERVED = "reserved": "The mark is not kept for someone else.",
    HEIGHT = "height": "Height of the characters.",
    HEIGHT_UNKNOWN = "height-unknown": "A height that is a share of something not measured.",
    CRAFT_MISSING = "craft-missing": "A key that is absent and would decide something.",
    EASED = "height-eased": "A smaller height is used, under a rule with conditions of its own.",
    GRANDFATHER = "grandfathered-lost": "An old small mark that may not be painted again.",
    HEIGHTS_DIFFER = "heights-alike": "All characters are of one height.",
    WIDTH = "width": "Width of a standard character.",
    WIDTH_EXCEPTION = "width-exception": "Width of a character with a width of its own.",
    STROKE = "stroke": "Thickness of the strokes.",
    STROKE_VARIES = "stroke-varies": "Thickness within one character.",
    GAP = "gap": "Gap between characters.",
    GROUP_GAP = "group-gap": "Gap between groups of characters.",
    HYPHEN_LENGTH = "hyphen-length": "Length of the hyphen.",
    SLANT = "slant": "Slant of the characters.",
    ORNAMENT = "ornament": "No ornament.",
    COLOURS = "colours": "One colour.",
    CONTRAST = "contrast": "The mark stands out from what surrounds it (guidance).",
    CONTRAST_BESIDE = "contrast-beside": "Contrast of outline and shadow with what they touch.",
    CONTRAST_UNKNOWN = "contrast-unknown": "A colour that is not given, so that contrast is not estimated.",
    LOCATION = "location": "The place and the surface agree.",
    LOCATION_UNKNOWN = "location-unknown": "A place the pack does not know.",
    WING_MARK = "wing-mark": "A mark where the rule asks for none.",
    ORIENTATION = "orientation": "The baseline is horizontal.",
    TOPS = "tops": "Where the tops of the characters point.",
    CENTRED = "centred": "As far from the leading edge as from the trailing edge.",
    MARGIN = "margin": "Clear margin to the edges of the surface.",
    SET = "marks-wanted": "Every place that must carry a mark carries one.",
    ALIKE = "sides-alike": "Both sides alike.",
    SECOND_MARK = "second-mark": "No other mark that differs.",
    WORD = "word": "Height of a word shown beside the mark.",
    WORD_PLACE = "word-place": "Where a word stands, which no figure shows.",
    WORD_SHOWN = "word-shown": "A word the rule wants beside the mark is there, and is for this craft.",
    WORD_MISSING = "word-missing": "A word the rule wants beside the mark.",
    PERFORMANCE = "legible-from": "How far the mark must be legible.",
    LEGIBLE = "legible-size": "Height and stroke against how far the mark must be legible (guidance).",
    UNREAD = "not-read": "Parts of the rule that were not read, so that nothing about them is checked.",
    NOTICE = "notice": "What else to think of.",
}

#[cfg(test)]
mod tests {
    use super::ALL;

    #[test]
    fn no_two_checks_share_a_name() {
        let mut names: Vec<_> = ALL.iter().map(|&(code, _)| code).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), ALL.len());
    }
}
