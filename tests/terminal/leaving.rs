//! Ways to leave: everything said is kept, the terminal is as it was, the status tells how.

use std::time::{Duration, Instant};

use crate::pty::{CTRL_C, DOWN, Window, window};

/// One answer given, at the second question.
fn under_way() -> Window {
    let mut window = window(80, 24).skeg(&["start", "kim"]);
    window.until_question().line("monohull").until_question().shows("How far is it");
    window
}

fn is_left_well(mut window: Window, status: u32) {
    assert_eq!(window.ends(), status, "{}", window.screen());
    assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
    assert!(window.cursor_is_shown(), "the cursor is hidden");
    assert!(window.is_as_before(), "the terminal is not as it was");
    assert!(window.screen().contains("skeg resume kim"), "{}", window.screen());
}

#[test]
fn ctrl_c_in_a_line_and_in_a_list() {
    let mut line = under_way();
    line.press("20").press(CTRL_C);
    is_left_well(line, 130);
    let mut list = under_way();
    list.press(DOWN).shows("> ? how").press(CTRL_C);
    is_left_well(list, 130);
}

#[test]
fn ctrl_c_while_counting_and_while_a_note_is_written() {
    let mut note = under_way();
    note.line("n").line("half a note").press(CTRL_C);
    is_left_well(note, 130);
    let mut counting = window(80, 24).sound_motor_but("gear-oil-after").skeg(&["change", "kim", "gear-oil-after"]);
    counting.until_question().press("c\r").shows("a key ends it").press(CTRL_C);
    assert_eq!(counting.ends(), 130);
    assert!(counting.cursor_is_shown() && counting.is_as_before());
}

#[test]
fn a_signal_in_a_line() {
    for (signal, status) in [("TERM", 143), ("INT", 130)] {
        let mut window = under_way();
        window.signal(signal);
        is_left_well(window, status);
    }
    let mut window = under_way();
    window.signal("HUP");
    assert_eq!(window.ends(), 129);
    assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
}

#[test]
fn a_signal_in_a_list() {
    let mut window = under_way();
    window.press(DOWN).shows("> ? how");
    // The list reads keys by itself; it has to be waiting when the signal comes.
    std::thread::sleep(Duration::from_millis(100));
    window.signal("TERM");
    is_left_well(window, 143);
}

#[test]
fn stop_and_the_end_of_the_lines() {
    let mut window = under_way();
    window.line(".");
    is_left_well(window, 0);
    let mut window = under_way();
    window.press("\u{4}");
    is_left_well(window, 0);
}

#[test]
fn ctrl_c_at_a_change_that_is_asked_about_changes_nothing() {
    let mut window = window(80, 24).begun().skeg(&["change", "kim", "serial-plate"]);
    window.until_question().line("2").told("Go ahead?").press(CTRL_C);
    assert_eq!(window.ends(), 130);
    assert_eq!(window.answer("serial-plate").as_deref(), Some("intact"));
}

#[test]
fn plain_lines_are_left_the_same_ways() {
    for (leaves, status) in [(CTRL_C, 130), ("\u{4}", 0), (".\r", 0)] {
        let mut window = window(80, 24).skeg(&["start", "kim", "--plain"]);
        window.shows("What kind of boat").shows("\n> ").press("monohull\r").shows("How far is it").press(leaves);
        assert_eq!(window.ends(), status, "{}", window.screen());
        assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
    }
    for (signal, status) in [("TERM", 143), ("HUP", 129), ("INT", 130)] {
        let mut window = window(80, 24).skeg(&["start", "kim", "--plain"]);
        window.shows("What kind of boat").shows("\n> ").press("monohull\r").shows("How far is it").signal(signal);
        assert_eq!(window.ends(), status, "{}", window.screen());
        assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
    }
}

/// The window is closed: its session ends, and nothing answers any more.
#[test]
fn a_closed_window_leaves_no_program_behind() {
    for mode in ["--no-color", "--plain"] {
        let script = "\"$0\" start kim $1 </dev/tty & echo $! > \"$SKEG_HOME/process\"; wait";
        let mut window = window(80, 24).run(&["sh", "-c", script, env!("CARGO_BIN_EXE_skeg"), mode]);
        window.shows("What kind of boat").signal("KILL");
        let process = std::fs::read_to_string(window.home().join("process")).unwrap();
        let process = std::path::PathBuf::from(format!("/proc/{}", process.trim()));
        let begun = Instant::now();
        while process.exists() {
            assert!(begun.elapsed() < Duration::from_secs(20), "still there after the window was closed");
            std::thread::sleep(Duration::from_millis(5));
        }
        assert_eq!(window.saved("kim")["name"], "kim");
    }
}

/// How often is told by `SKEG_RUNS`; a race shows after some hundreds.
#[test]
fn many_runs_end_alike() {
    let runs = std::env::var("SKEG_RUNS").ok().and_then(|runs| runs.parse().ok()).unwrap_or(5);
    for run in 0..runs {
        let mut window = under_way();
        window.press(if run % 2 == 0 { "20" } else { "\r" });
        if run % 2 == 1 {
            window.shows("> ? how");
        }
        window.press(CTRL_C);
        is_left_well(window, 130);
    }
}
