//! Did you mean …?

/// The known name nearest to `wrong`, if any is near enough: a slip of one letter in four, or another case.
pub fn nearest<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    near(wrong, known).min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1))).map(|(_, name)| name)
}

/// The known names nearest to `wrong`, at most `count` of them, nearest first; after those that are spelt much like it,
/// those that hold it or are held in it.
pub fn nearest_few<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str> + Clone, count: usize) -> Vec<&'a str> {
    let mut found: Vec<(usize, &str)> = near(wrong, known.clone()).collect();
    found.sort_unstable();
    let lower = wrong.to_lowercase();
    let part_of = |one: &str, other: &str| one.len() > 2 && other.split(['.', '_']).any(|word| word == one);
    let mut others: Vec<(usize, &str)> = known
        .into_iter()
        .filter(|name| part_of(&lower, &name.to_lowercase()) || part_of(&name.to_lowercase(), &lower))
        .map(|name| (name.len(), name))
        .collect();
    others.sort_unstable();
    let mut names: Vec<&str> = Vec::new();
    for (_, name) in found.into_iter().chain(others) {
        if names.len() < count && !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// Names that are near enough, each with how far it is.
fn near<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> impl Iterator<Item = (usize, &'a str)> {
    let lower = wrong.to_lowercase();
    let allowed = (wrong.chars().count() / 4).max(1) + usize::from(wrong.chars().count() > 3);
    known
        .into_iter()
        .filter(move |name| !name.is_empty() && *name != wrong)
        .map(move |name| {
            let other = name.to_lowercase();
            let mut distance = strsim::damerau_levenshtein(&lower, &other);
            // `spacing` for `rear.spacing`, or `stem.clamp` for `clamp`: the end of a dotted name counts as near.
            let ends = |long: &str, short: &str| long.strip_suffix(short).is_some_and(|front| front.ends_with('.'));
            if ends(&other, &lower) || ends(&lower, &other) {
                distance = distance.min(1);
            }
            // `left.corner_mount` for `left.corner`: so does a name that says more than is asked.
            if lower.strip_prefix(&other).is_some_and(|rest| rest.starts_with(['.', '_'])) {
                distance = distance.min(2);
            }
            (distance, name)
        })
        .filter(move |(distance, name)| *distance <= allowed && *distance < name.chars().count())
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
        assert_eq!(nearest("left.corner_mount", ["left.corner_loop", "left.corner"]), Some("left.corner"));
        assert_eq!(nearest("left.corner_bolt", ["left.corner_belt", "left.corner"]), Some("left.corner_belt"));
        assert_eq!(nearest("shell_width", known), Some("shell"));
    }
}
