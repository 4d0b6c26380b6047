//! Did you mean …?

/// The known name nearest to `wrong`, if any is near enough: a slip of one letter in four, or another case.
pub fn nearest<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = wrong.to_lowercase();
    let allowed = (wrong.chars().count() / 4).max(1) + usize::from(wrong.chars().count() > 3);
    known
        .into_iter()
        .filter(|name| !name.is_empty() && *name != wrong)
        .map(|name| {
            let other = name.to_lowercase();
            let mut distance = strsim::damerau_levenshtein(&lower, &other);
            // `spacing` for `rear.spacing`, or `stem.clamp` for `clamp`: the end of a dotted name counts as near.
            let ends = |long: &str, short: &str| long.strip_suffix(short).is_some_and(|front| front.ends_with('.'));
            if ends(&other, &lower) || ends(&lower, &other) {
                distance = distance.min(1);
            }
            (distance, name)
        })
        .filter(|(distance, name)| *distance <= allowed && *distance < name.chars().count())
        .min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1)))
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn finds_slips_and_not_strangers() {
        let known = ["rear.dropout", "rear.gap", "material", "shell"];
        assert_eq!(nearest("rear.dropuot", known), Some("rear.dropout"));
        assert_eq!(nearest("gap", known), Some("rear.gap"));
        assert_eq!(nearest("Shell", known), Some("shell"));
        assert_eq!(nearest("wheelbase", known), None);
    }
}
