//! Paths of spec files as text, with `/` between folders: joined and normalised without asking the disk.

/// The folder of a file's path: `specs/heron` of `specs/heron/bin.cotter`, empty for a bare name.
pub fn folder_of(path: &str) -> &str {
    path.rfind('/').map_or("", |at| if at == 0 { "/" } else { &path[..at] })
}

/// `used`, seen from `folder`, with `.` and `..` resolved as far as they go.
pub fn join(folder: &str, used: &str) -> String {
    let absolute = used.starts_with('/') || folder.starts_with('/');
    let whole = if used.starts_with('/') { used.to_owned() } else { format!("{folder}/{used}") };
    let mut kept: Vec<&str> = Vec::new();
    for step in whole.split('/') {
        match step {
            "" | "." => {}
            ".." if kept.last().is_some_and(|&last| last != "..") => {
                kept.pop();
            }
            ".." if absolute => {}
            other => kept.push(other),
        }
    }
    let joined = kept.join("/");
    if absolute { format!("/{joined}") } else { joined }
}

/// Whether `path`, already normalised, lies outside `root` (the empty root is the folder that the command runs in).
pub fn leaves(path: &str, root: &str) -> bool {
    if root.is_empty() {
        return path.starts_with('/') || path == ".." || path.starts_with("../");
    }
    if root == "/" {
        return false;
    }
    !(path.starts_with(root) && path.as_bytes().get(root.len()) == Some(&b'/'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joins_and_normalises() {
        assert_eq!(join("specs/heron", "bin.cotter"), "specs/heron/bin.cotter");
        assert_eq!(join("specs/heron", "../shelf.cotter"), "specs/shelf.cotter");
        assert_eq!(join("", "../x.cotter"), "../x.cotter");
        assert_eq!(join("/a", "../../x.cotter"), "/x.cotter");
    }

    #[test]
    fn tells_what_leaves_a_folder() {
        assert!(leaves("../x.cotter", ""));
        assert!(!leaves("a/x.cotter", ""));
        assert!(leaves("specs2/x.cotter", "specs"));
        assert!(!leaves("specs/x.cotter", "specs"));
    }
}
