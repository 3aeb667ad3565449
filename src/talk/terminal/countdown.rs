//! A wait counted down in one row; any key ends it. One thread: draw, wait a moment for a key, draw again.

use std::time::{Duration, Instant};

use console::Term;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::talk::Leave;
use crate::talk::system::{Listening, next_key};

/// Counts so many minutes; `true` when they are over, `false` when a key ended it.
pub fn run(listening: &Listening, minutes: f64) -> Result<bool, Leave> {
    let whole = Duration::from_secs_f64((minutes * 60.0).clamp(0.0, 86_400.0));
    let bar = ProgressBar::with_draw_target(Some(whole.as_secs()), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("{msg} [{wide_bar}] a key ends it") {
        bar.set_style(style.progress_chars("#>."));
    }
    let over = count(listening, &bar, whole);
    bar.finish_and_clear();
    let over = over?;
    if over {
        // The eyes are on the motor now, not on the screen.
        let _ = Term::stderr().write_str("\u{7}");
    }
    Ok(over)
}

fn count(listening: &Listening, bar: &ProgressBar, whole: Duration) -> Result<bool, Leave> {
    let begun = Instant::now();
    while begun.elapsed() < whole {
        let gone = begun.elapsed();
        bar.set_position(gone.as_secs());
        bar.set_message(clock(whole.saturating_sub(gone)));
        if next_key(listening, Some(Duration::from_millis(100)))?.is_some() {
            return Ok(false);
        }
    }
    Ok(true)
}

/// What is left, as a clock shows it.
fn clock(left: Duration) -> String {
    let seconds = left.as_secs_f64().ceil();
    let (minutes, rest) = ((seconds / 60.0).floor(), seconds % 60.0);
    format!("{minutes:.0}:{rest:02.0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_clock_shows_minutes_and_seconds() {
        assert_eq!(clock(Duration::from_secs(600)), "10:00");
        assert_eq!(clock(Duration::from_millis(59_200)), "1:00");
        assert_eq!(clock(Duration::from_millis(8_900)), "0:09");
    }
}
