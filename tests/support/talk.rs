//! A person who answers what is asked: reads until a line is wanted, looks which question stands there, types.
//!
//! Start at [`Sitting`], a whole conversation through pipes and all that was shown; [`Answering`] alone decides what one
//! line is, for any other way to talk. Whoever drives it knows questions by their own texts, never by their place.

use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use serde_json::Value;
use skeg::QuestionIx;

use super::knowledge;

/// Long enough for a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(60);

/// A question is asked once more after a look back or before a run, and not for ever.
const OFTEN: usize = 4;

/// What waits for Enter, and for nothing else.
const PAGES: [&str; 7] = [
    "(Enter goes on)",
    "(Enter when read · b back · . stop)",
    "l shows the whole list.",
    "m shows the rest.",
    "Enter goes on.",
    "then Enter.",
    "u changes the last answer.",
];

/// What a yes goes on from.
const DOUBTS: [&str; 6] = [
    "(y or n · . stop and keep)",
    "(y or n, or Enter for the list · . stop and keep)",
    "else give it anew)",
    "(Enter goes back, y is yes)",
    "y is yes.",
    "Enter is yes.",
];

/// What somebody says to each question, by its id; who knows nothing can't tell.
pub struct Answering {
    typed: BTreeMap<String, String>,
    /// Questions in the order they were asked, each time anew.
    pub asked: Vec<QuestionIx>,
    looked_on: bool,
}

impl Answering {
    /// Ends it when the plan is done.
    pub fn leaving_after_the_plan(mut self) -> Self {
        self.looked_on = true;
        self
    }

    /// Knows these and nothing else.
    pub fn knowing(typed: BTreeMap<String, String>) -> Self {
        Self { typed, asked: Vec::new(), looked_on: false }
    }

    /// Knows what an answers file among the examples says.
    pub fn example(name: &str) -> Self {
        let file = format!("{}/examples/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let file: Value = serde_json::from_str(&std::fs::read_to_string(file).expect("an example")).expect("JSON");
        let answers = file["answers"].as_object().expect("answers");
        Self::knowing(answers.iter().map(|(id, value)| (id.clone(), typed(value))).collect())
    }

    /// Says something else there.
    pub fn but(mut self, id: &str, text: &str) -> Self {
        self.typed.insert(id.to_owned(), text.to_owned());
        self
    }

    /// The line to type after these words, said since the last one.
    pub fn line(&mut self, said: &str) -> String {
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let flat = flat.trim_end_matches([' ', '>']);
        let ends = |texts: &[&str]| texts.iter().any(|text| flat.ends_with(text));
        if ends(&PAGES) {
            return String::new();
        }
        if ends(&DOUBTS) || flat.contains("Did you mean") {
            return "y".into();
        }
        if flat.contains("What now?") {
            return if flat.contains("see where it stands") { "see where" } else { "look on" }.into();
        }
        if flat.contains("How do you go on?") {
            let more = flat.contains("look on at everything") && !std::mem::replace(&mut self.looked_on, true);
            return if more { "look on" } else { "stop here" }.into();
        }
        let ix = question_in(flat).unwrap_or_else(|| panic!("nothing known is asked here:\n{said}"));
        self.asked.push(ix);
        let times = self.asked.iter().filter(|other| **other == ix).count();
        assert!(times <= OFTEN, "asked again and again:\n{said}");
        self.typed.get(knowledge().question(ix).id.as_str()).cloned().unwrap_or_else(|| "-".into())
    }
}

/// The question whose words end last in these.
fn question_in(flat: &str) -> Option<QuestionIx> {
    let asks = knowledge().places().flat_map(|ix| {
        let question = knowledge().question(ix);
        let others = question.variants.iter().filter_map(|variant| variant.ask.as_deref());
        others.chain([question.ask.as_str()]).map(move |ask| (ix, ask))
    });
    let stand = asks.filter_map(|(ix, ask)| Some((flat.rfind(ask)? + ask.len(), ask.len(), ix)));
    stand.max_by_key(|(end, length, _)| (*end, *length)).map(|(.., ix)| ix)
}

/// What a person would type for the value in an answers file.
fn typed(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(all) => all.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(" "),
        Value::Object(fields) => format!("not done: {}", fields["not-done"].as_str().expect("a reason")),
        other => other.to_string(),
    }
}

/// The program in plain lines, talked to through pipes.
pub struct Sitting {
    child: Child,
    input: ChildStdin,
    out: Receiver<Vec<u8>>,
    said: Vec<u8>,
    /// Where the words since the last typed line begin.
    from: usize,
}

/// What a sitting came to.
pub struct Sat {
    pub status: Option<i32>,
    /// All that was said and typed, as it stood on the screen.
    pub talked: String,
    pub err: String,
}

impl Sitting {
    /// Starts the program with these arguments in plain lines of so many columns; interviews are kept in `home`.
    pub fn start(home: &Path, columns: usize, args: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_skeg"))
            .args(args)
            .arg("--plain")
            .env("SKEG_HOME", home)
            .env("COLUMNS", columns.to_string())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let input = child.stdin.take().expect("a pipe");
        let mut pipe = child.stdout.take().expect("a pipe");
        let (sends, out) = channel();
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = pipe.read(&mut bytes) {
                let _ = sends.send(bytes[..count].to_vec());
            }
        });
        Self { child, input, out, said: Vec::new(), from: 0 }
    }

    /// Answers to the end of the conversation.
    pub fn answered(mut self, by: &mut Answering) -> Sat {
        while let Some(said) = self.until_a_line_is_wanted() {
            self.type_line(&by.line(&said));
        }
        self.ended()
    }

    /// Reads on; what was said since the last line, or nothing when the program is done.
    pub fn until_a_line_is_wanted(&mut self) -> Option<String> {
        loop {
            match self.out.recv_timeout(PATIENCE) {
                Ok(bytes) => self.said.extend(bytes),
                Err(RecvTimeoutError::Disconnected) => return None,
                Err(RecvTimeoutError::Timeout) => panic!("it says nothing more:\n{}", self.since()),
            }
            if self.said[self.from..].ends_with(b"\n> ") {
                return Some(self.since());
            }
        }
    }

    pub fn type_line(&mut self, text: &str) {
        self.from = self.said.len();
        let _ = self.input.write_all(format!("{text}\n").as_bytes());
    }

    fn since(&self) -> String {
        String::from_utf8_lossy(&self.said[self.from..]).into_owned()
    }

    /// Types nothing more and waits for the end.
    pub fn ended(self) -> Sat {
        let Self { child, input, out, mut said, .. } = self;
        drop(input);
        said.extend(out.iter().flatten());
        let output = child.wait_with_output().expect("the program ends");
        Sat {
            status: output.status.code(),
            talked: String::from_utf8_lossy(&said).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}
