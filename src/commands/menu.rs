//! `skeg` alone: carry on with what is unfinished, else what can be done with what there is, else begin.

use crate::cli::{self, Output, Paper};
use crate::edge;
use crate::judge::judge;
use crate::knowledge::QuestionIx;
use crate::path::{State, walk};
use crate::report::compare::{candidate, order, table};
use crate::store::{Entry, Saved};
use crate::talk::{Leave, Talk, Words};

use super::start::{begin, carry_on_with, ending};
use super::{Bench, Ending, change, list, report};

/// So many questions are offered for a few words.
const OFFERED: usize = 9;

/// What `skeg` alone does.
pub fn run(bench: &Bench) -> Result<Ending, String> {
    let entries = bench.store.list(&bench.knowledge)?;
    let is_open = |saved: &Saved| walk(&bench.knowledge, &saved.record, saved.date).next_open().is_some();
    // What is not whole is among them, and stands first: it is shown before it is opened.
    let unfinished: Vec<&Entry> = entries.iter().filter(|entry| entry.whole().is_none_or(is_open)).collect();
    let mut talk = bench.around.talk();
    if entries.is_empty() {
        return a_new_one(bench, talk);
    }
    let picked = if unfinished.is_empty() {
        talk.tell(&Words::Plain("Nothing is unfinished.".into()));
        None
    } else {
        let mut items: Vec<String> = unfinished.iter().map(|entry| one_line(bench, entry)).collect();
        items.push("something else: a new motor, an answer to change, papers, side by side".into());
        match talk.pick("Carry on with which?", &items) {
            Ok(picked) => unfinished.get(picked).copied(),
            Err(leave) => return Ok(ending(Some(leave))),
        }
    };
    match picked {
        Some(entry) => carry_on_with(bench, &entry.name, talk),
        None => something_else(bench, &entries, talk),
    }
}

fn one_line(bench: &Bench, entry: &Entry) -> String {
    format!("{}: {}", entry.name, list::one_line(bench, entry))
}

fn a_new_one(bench: &Bench, talk: Box<dyn Talk>) -> Result<Ending, String> {
    begin(bench, Saved::new(&bench.store.free_name(), bench.around.today, &bench.knowledge), talk)
}

/// A new motor, an answer to change, papers, motors side by side.
fn something_else(bench: &Bench, entries: &[Entry], mut talk: Box<dyn Talk>) -> Result<Ending, String> {
    let whole: Vec<&Entry> = entries.iter().filter(|entry| entry.whole().is_some()).collect();
    let mut items = vec!["a new motor"];
    if !whole.is_empty() {
        items.extend(["change an answer", "papers, to read, to print or to send"]);
    }
    if whole.len() > 1 {
        items.push("the motors side by side");
    }
    let items: Vec<String> = items.into_iter().map(str::to_owned).collect();
    let done = match talk.pick("What now?", &items) {
        Ok(0) => return a_new_one(bench, talk),
        Ok(1) => match which_answer(bench, &whole, &mut *talk) {
            Ok(Some((name, id))) => {
                drop(talk);
                return change::run(bench, &name, &id);
            }
            Ok(None) => Ok(()),
            Err(leave) => Err(leave),
        },
        Ok(2) => papers(bench, &whole, &mut *talk)?,
        Ok(_) => {
            side_by_side(bench, &whole, &mut *talk);
            Ok(())
        }
        Err(leave) => Err(leave),
    };
    Ok(ending(done.err()))
}

/// The interview that is meant; not asked where there is only one.
fn which<'e>(bench: &Bench, whole: &[&'e Entry], talk: &mut dyn Talk) -> Result<&'e Entry, Leave> {
    if let [only] = whole {
        return Ok(only);
    }
    let items: Vec<String> = whole.iter().map(|entry| one_line(bench, entry)).collect();
    talk.pick("Of which motor?", &items).map(|picked| whole[picked.min(whole.len() - 1)])
}

/// The question whose answer is to be changed, found by words of it.
fn which_answer(bench: &Bench, whole: &[&Entry], talk: &mut dyn Talk) -> Result<Option<(String, String)>, Leave> {
    let entry = which(bench, whole, talk)?;
    let Some(saved) = entry.whole() else { return Ok(None) };
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    loop {
        let typed = talk.line("Which answer? A word or two of it, such as gear oil; Enter alone for none.")?;
        let typed = typed.trim().to_lowercase();
        if typed.is_empty() {
            return Ok(None);
        }
        let asked = path.steps.iter().filter(|step| step.state != State::Open).map(|step| step.question);
        let fits = |ix: &QuestionIx| {
            let question = bench.knowledge.question(*ix);
            let text = format!("{} {} {}", question.id, question.brief, question.ask).to_lowercase();
            typed.split_whitespace().all(|word| text.contains(word))
        };
        let found: Vec<QuestionIx> = asked.filter(fits).take(OFFERED).collect();
        if found.is_empty() {
            talk.tell(&Words::Plain(format!("No answer given so far has {typed:?} in it.")));
            continue;
        }
        let mut items: Vec<String> = found.iter().map(|ix| bench.knowledge.question(*ix).ask.to_string()).collect();
        items.push("none of these".into());
        if let Some(ix) = found.get(talk.pick("Which of these?", &items)?) {
            return Ok(Some((entry.name.clone(), bench.knowledge.question(*ix).id.to_string())));
        }
    }
}

/// Writes the paper for one reader beside the interview, ready to print or send.
fn papers(bench: &Bench, whole: &[&Entry], talk: &mut dyn Talk) -> Result<Result<(), Leave>, String> {
    let readers = [
        ("for myself", "buyer", cli::Audience::Buyer),
        ("for the mechanic", "mechanic", cli::Audience::Mechanic),
        ("for the seller", "seller", cli::Audience::Seller),
    ];
    let picked = which(bench, whole, talk).and_then(|entry| {
        let items = readers.map(|(label, _, _)| label.to_owned());
        talk.pick("For whom?", &items).map(|picked| (entry, readers[picked.min(readers.len() - 1)]))
    });
    let (entry, (_, who, audience)) = match picked {
        Ok(picked) => picked,
        Err(leave) => return Ok(Err(leave)),
    };
    let Some(saved) = entry.whole() else { return Ok(Ok(())) };
    let folder = bench.store.folder().join("reports");
    let file = folder.join(format!("{}-{who}.html", entry.name));
    let paper =
        Paper { audience, format: cli::Format::Html, output: Output { output: Some(file.clone()), force: true } };
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    let text = report::render(&judgement, &entry.name, &paper)?;
    let told = |error: std::io::Error| format!("the paper could not be written: {error}");
    edge::system::make_private_folder(&folder).map_err(told)?;
    edge::write_whole(&file, text.as_bytes()).map_err(told)?;
    talk.tell(&Words::Plain(format!("It lies at {}; any browser shows and prints it.", edge::path(&file))));
    Ok(Ok(()))
}

fn side_by_side(bench: &Bench, whole: &[&Entry], talk: &mut dyn Talk) {
    let judged = whole.iter().filter_map(|entry| {
        let saved = entry.whole()?;
        Some(candidate(&entry.name, &judge(&bench.knowledge, &saved.record, saved.date)))
    });
    let ordered = order(judged.collect());
    let text = table(&ordered, talk.columns().min(80));
    talk.tell(&Words::Picture(text.lines().map(str::to_owned).collect()));
}
