//! `skeg`: a guided interview for a first-time buyer of a used petrol outboard.
//!
//! Answers go in one at a time; everything else (the next question, the measures, the findings, the chances, the
//! money, the report) is a pure function of the question data, the answers and the interview's date. The rooms,
//! from the ground up: [`edge`], [`units`], [`knowledge`], [`answers`], [`measure`], [`path`], [`judge`], [`report`], [`store`],
//! [`talk`], [`commands`], [`cli`]. A room imports only rooms below it.

pub mod answers;
pub mod cli;
pub mod commands;
pub mod edge;
pub mod judge;
pub mod knowledge;
pub mod measure;
pub mod path;
pub mod report;
pub mod store;
pub mod talk;
pub mod units;
