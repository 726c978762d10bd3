//! Options as they are typed into a shell.

/// `--set` with its value, quoted so that a POSIX shell hands it on as it is: in
/// double quotes, or in single ones where something in it would mean more there.
pub(super) fn set_option(set: &str) -> String {
    // `!` is looked up in the history of some shells
    if set.contains(['"', '\\', '$', '`', '!']) {
        format!("--set '{}'", set.replace('\'', "'\\''"))
    } else {
        format!("--set \"{set}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::set_option;

    #[test]
    fn a_value_comes_out_of_the_shell_as_it_went_in() {
        for (set, typed) in [
            ("a.b=260 kPa abs", r#"--set "a.b=260 kPa abs""#),
            ("title=it's", r#"--set "title=it's""#),
            (r#"title=a "b""#, r#"--set 'title=a "b"'"#),
            ("title=$HOME", "--set 'title=$HOME'"),
            ("title=`ls`", "--set 'title=`ls`'"),
            (r"title=a\b", r"--set 'title=a\b'"),
            ("title=it's $1", r"--set 'title=it'\''s $1'"),
        ] {
            assert_eq!(set_option(set), typed);
        }
    }
}
