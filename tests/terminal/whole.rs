//! One whole interview, the same through a terminal and through plain lines.

use std::fs;

use serde_json::Value;

use crate::pty::window;
use crate::support::skeg;

/// What an example answers, question by question along its path.
fn lines(example: &str) -> Vec<String> {
    let file = format!("examples/{example}.json");
    let answers: Value = serde_json::from_str(&fs::read_to_string(&file).unwrap()).unwrap();
    let judged = skeg().args(["replay", &file, "--format", "json"]).json();
    let typed = |step: &Value| match &answers["answers"][step["id"].as_str().unwrap()] {
        Value::Null => "-".to_owned(),
        Value::String(text) => text.clone(),
        Value::Array(all) => all.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(" "),
        Value::Object(fields) => format!("not done: {}", fields["not-done"].as_str().unwrap()),
        other => other.to_string(),
    };
    judged["path"].as_array().unwrap().iter().map(typed).collect()
}

#[test]
fn a_terminal_and_plain_lines_keep_the_same() {
    for (example, columns, rows) in [("sound-motor", 80, 24), ("milky-gearcase", 40, 12), ("oily-plugs", 80, 24)] {
        let lines = lines(example);
        let home = tempfile::tempdir().unwrap();
        let plain =
            skeg().home(home.path()).args(["start", "kim", "--plain"]).typed(&(lines.join("\n") + "\n")).run();
        assert_eq!(plain.status, Some(0), "{}", plain.err);

        let mut window = window(columns, rows).skeg(&["start", "kim"]);
        for line in &lines {
            window.until_question().line(line);
        }
        assert_eq!(window.ends(), 0, "{}", window.screen());
        let kept = |home: &std::path::Path| fs::read_to_string(home.join("kim.json")).unwrap();
        assert_eq!(kept(window.home()), kept(home.path()), "{example}");
    }
}
