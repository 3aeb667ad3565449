//! One whole interview, the same through a terminal and through plain lines.

use std::fs;
use std::path::Path;

use crate::pty::window;
use crate::support::talk::{Answering, Sitting};

#[test]
fn a_terminal_and_plain_lines_keep_the_same() {
    for (example, columns, rows) in [("sound-motor", 80, 24), ("milky-gearcase", 40, 12), ("oily-plugs", 80, 24)] {
        let home = tempfile::tempdir().unwrap();
        let plain = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut Answering::example(example));
        assert_eq!(plain.status, Some(0), "{}", plain.err);

        let mut window = window(columns, rows).skeg(&["start", "kim"]);
        assert_eq!(window.answered(&mut Answering::example(example)).ends(), 0, "{}", window.screen());
        let kept = |home: &Path| fs::read_to_string(home.join("kim.json")).unwrap();
        assert_eq!(kept(window.home()), kept(home.path()), "{example}");
    }
}
