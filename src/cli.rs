//! The command line: what can be typed after `skeg`, with help and examples. Nothing is done here.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// A guided interview for whoever is about to buy a used petrol outboard.
#[derive(Debug, Parser)]
#[command(
    name = "skeg",
    version,
    about = "Asks what you see on a used petrol outboard, works out what it means, and writes a report",
    after_help = "Examples:\n  skeg                              carry on, or begin\n  skeg start harbour-40 --plain     begin, line by line\n  skeg report harbour-40 -o report.md\n  skeg next harbour-40 --minutes 20\n  skeg replay examples/milky-gearcase.json"
)]
pub struct Cli {
    #[command(flatten)]
    pub everywhere: Everywhere,
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What every command takes.
#[derive(Debug, Args)]
pub struct Everywhere {
    /// Use the question files of this folder instead of those built in
    #[arg(long, global = true, value_name = "DIR")]
    pub questions: Option<PathBuf>,
    /// Keep interviews in this folder (also: `SKEG_HOME`)
    #[arg(long, global = true, value_name = "DIR")]
    pub home: Option<PathBuf>,
    /// No colours (also: `NO_COLOR`)
    #[arg(long, global = true)]
    pub no_color: bool,
    /// Talk line by line: for pipes, scripts and screen readers
    #[arg(long, global = true)]
    pub plain: bool,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Begin an interview
    #[command(
        after_help = "Examples:\n  skeg start\n  skeg start harbour-40 --minutes 60\n  skeg start second --boat-from harbour-40"
    )]
    Start {
        /// Its name; left out: motor-1, motor-2, …
        name: Option<String>,
        /// Plan the visit for so many minutes beside the motor
        #[arg(long, value_parser = minutes, conflicts_with = "short")]
        minutes: Option<f64>,
        /// Half an hour beside the motor
        #[arg(long)]
        short: bool,
        /// Take the boat's answers over from another interview
        #[arg(long, value_name = "NAME")]
        boat_from: Option<String>,
    },
    /// Carry on with an interview
    #[command(after_help = "Examples:\n  skeg resume\n  skeg resume harbour-40")]
    Resume {
        /// Its name; left out: the latest
        name: Option<String>,
    },
    /// Saved interviews, one line each
    #[command(after_help = "Example:\n  skeg list")]
    List,
    /// Answer one question again
    #[command(after_help = "Example:\n  skeg change harbour-40 gear-oil")]
    Change { name: String, id: String },
    /// Write the report of an interview
    #[command(
        after_help = "Examples:\n  skeg report harbour-40\n  skeg report harbour-40 --for mechanic -o mechanic.md\n  skeg report harbour-40 --format json"
    )]
    Report {
        name: String,
        #[command(flatten)]
        paper: Paper,
    },
    /// Read a mechanic's filled-in paper back, or ask for it point by point
    #[command(
        after_help = "Examples:\n  skeg take-in harbour-40 mechanic.md\n  skeg take-in harbour-40          asks point by point, for the telephone\n  skeg take-in harbour-40 mail.eml --yes"
    )]
    TakeIn {
        name: String,
        /// The paper as it came back: text, a saved mail, HTML; left out: every point is asked
        file: Option<PathBuf>,
        /// Take in what is clear without asking
        #[arg(long)]
        yes: bool,
    },
    /// A field sheet to print: what is still open
    #[command(
        after_help = "Examples:\n  skeg sheet\n  skeg sheet harbour-40 --format html -o sheet.html\n  skeg sheet harbour-40 --minutes 60\n  skeg sheet harbour-40 --before     what to bring, what to send the seller"
    )]
    Sheet {
        name: Option<String>,
        /// Only what is planned for so many minutes beside the motor
        #[arg(long, value_parser = minutes)]
        minutes: Option<f64>,
        /// The page before the drive instead: what to bring, what to send the seller
        #[arg(long)]
        before: bool,
        #[arg(long, value_enum, default_value = "markdown")]
        format: SheetFormat,
        #[command(flatten)]
        output: Output,
    },
    /// Several motors side by side
    #[command(after_help = "Example:\n  skeg compare harbour-40 second")]
    Compare {
        #[arg(required = true, num_args = 2..)]
        names: Vec<String>,
        #[arg(long, value_enum, default_value = "table")]
        format: CompareFormat,
        #[command(flatten)]
        output: Output,
    },
    /// What to check next
    #[command(after_help = "Examples:\n  skeg next harbour-40\n  skeg next harbour-40 --minutes 20")]
    Next {
        name: String,
        /// What so many minutes beside the motor would best go to
        #[arg(long, value_parser = minutes)]
        minutes: Option<f64>,
    },
    /// Put an answers file through the same checks; nothing is saved
    #[command(
        after_help = "Examples:\n  skeg replay examples/milky-gearcase.json\n  skeg replay answers.json --format json"
    )]
    Replay {
        file: PathBuf,
        #[command(flatten)]
        paper: Paper,
    },
    /// Look at the question files
    #[command(
        subcommand,
        after_help = "Examples:\n  skeg questions check --questions my-questions\n  skeg questions copy my-questions"
    )]
    Questions(Questions),
    /// The licences of the program and of everything built into it
    #[command(after_help = "Example:\n  skeg licences")]
    Licences,
    /// Completions for a shell
    #[command(after_help = "Example:\n  skeg completions bash > skeg.bash")]
    Completions { shell: clap_complete::Shell },
    /// The manual page
    #[command(after_help = "Example:\n  skeg man > skeg.1")]
    Man,
}

/// Which paper, for whom, where to.
#[derive(Debug, Args)]
pub struct Paper {
    /// Who reads it
    #[arg(long = "for", value_enum, default_value = "buyer", value_name = "WHO")]
    pub audience: Audience,
    #[arg(long, value_enum, default_value = "markdown")]
    pub format: Format,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct Output {
    /// Write to this file instead of the terminal
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Audience {
    Buyer,
    Mechanic,
    Seller,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    Markdown,
    Html,
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CompareFormat {
    Table,
    Markdown,
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetFormat {
    Markdown,
    Html,
}

/// How problems of the question files are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    Text,
    Json,
}

#[derive(Debug, Subcommand)]
pub enum Questions {
    /// Check the files; every problem with its file, line, id and field
    Check {
        /// For people, or for tools
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
    /// Draw the branching as a picture in SVG, for any browser
    #[command(
        after_help = "Examples:\n  skeg questions draw -o questions.svg\n  skeg questions draw --for harbour-40 -o taken.svg"
    )]
    Draw {
        /// Mark what was asked and answered in this interview
        #[arg(long = "for", value_name = "NAME")]
        name: Option<String>,
        #[command(flatten)]
        output: Output,
    },
    /// The JSON Schema of the files
    Schema,
    /// Copy the files built in to a folder, to change them
    Copy { folder: PathBuf },
    /// How typed words would be read: lines of question TAB text in; the same with taken, asks or unread, and the choices, out
    #[command(after_help = "Example:\n  printf 'gear-oil\\tlike a latte\\n' | skeg questions read")]
    Read {
        /// Read from this file instead of standard input
        file: Option<PathBuf>,
    },
}

fn minutes(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(minutes) if minutes.is_finite() && minutes > 0.0 => Ok(minutes),
        _ => Err("a number of minutes above 0".into()),
    }
}
