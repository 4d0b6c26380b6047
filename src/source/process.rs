//! Whether other processes are still there.

/// Whether a process runs; one that is dead and only waits to be taken note of does not. None where that can't be told.
pub fn runs(process: u32) -> Option<bool> {
    let own = state(std::process::id());
    own.is_some().then(|| state(process).is_some_and(|it| !matches!(it, 'Z' | 'X')))
}

/// The letter that the system has for what a process does.
fn state(process: u32) -> Option<char> {
    let line = std::fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    // The name before it stands in brackets, and may hold any mark.
    line.rsplit(')').next()?.trim_start().chars().next()
}

/// The process that started this one, or took it over when that ended.
#[cfg(unix)]
pub fn parent() -> Option<u32> {
    Some(std::os::unix::process::parent_id())
}

/// The process that started this one; that can't be told here.
#[cfg(not(unix))]
pub fn parent() -> Option<u32> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[cfg(target_os = "linux")]
    fn the_living_and_the_dead() {
        assert_eq!(runs(std::process::id()), Some(true));
        assert_eq!(runs(parent().unwrap()), Some(true));
        assert_eq!(runs(u32::MAX), Some(false));
        let mut child = std::process::Command::new("true").spawn().unwrap();
        while runs(child.id()) == Some(true) {
            std::thread::yield_now();
        }
        // Nobody has asked for its exit code yet.
        assert_eq!(state(child.id()), Some('Z'));
        child.wait().unwrap();
    }
}
