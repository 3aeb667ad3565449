//! The buyer's report: everything, in the order in which it is wanted.

use serde::Serialize;

use super::after::{self, Beside, SourceSaid};
use super::costs::{self, ChanceSaid, Costs};
use super::found::Found;
use super::measured::Measured;
use super::points::{self, Done};
use super::talk::{self, ChangeSaid, NextSaid, Talk};
use super::top::{self, Price, VerdictSaid};
use super::unseen::Unseen;
use super::{Head, Scene};

#[derive(Clone, Debug, Serialize)]
pub struct Buyer {
    pub head: Head,
    pub name: String,
    pub dealt_with: usize,
    pub verdict: VerdictSaid,
    pub price: Price,
    pub found: Found,
    pub measured: Measured,
    pub unseen: Unseen,
    pub chances: Vec<ChanceSaid>,
    pub costs: Costs,
    pub talk: Talk,
    pub next: NextSaid,
    pub changes: Vec<ChangeSaid>,
    pub mechanic: Vec<String>,
    pub settled: Vec<Done>,
    pub after: Vec<String>,
    pub service: Option<String>,
    pub notes: Vec<Beside>,
    pub sources: Vec<SourceSaid>,
}

impl Buyer {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        Self {
            head: Head::of(scene),
            name: super::words::typed(scene.meta.name),
            dealt_with: top::dealt_with(scene),
            verdict: VerdictSaid::of(scene),
            price: Price::of(scene),
            found: Found::of(scene),
            measured: Measured::of(scene),
            unseen: Unseen::of(scene),
            chances: costs::chances(scene),
            costs: Costs::of(scene),
            talk: Talk::of(scene),
            next: NextSaid::of(scene),
            changes: talk::changes(scene),
            mechanic: talk::for_mechanic(scene),
            settled: points::done_points(scene),
            after: after::first_service(scene),
            service: after::service_title(scene),
            notes: after::notes(scene),
            sources: after::sources(scene),
        }
    }
}
