//! The fixed words of the data: grades, signal words, strengths of evidence, forms of text.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Not at any price until somebody clears it.
    Stop,
    /// A large repair, or a thing that must be settled before paying.
    Serious,
    /// Worth a word and some money.
    Minor,
    /// Speaks for the motor.
    Good,
}

impl Grade {
    /// The word used in the data and in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Serious => "serious",
            Self::Minor => "minor",
            Self::Good => "good",
        }
    }
}

/// Signal words by severity of the hazard, ANSI Z535.6 (memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    Danger,
    Warning,
    Caution,
    Notice,
}

impl Level {
    /// The signal word in capitals.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

/// What the seller's paper does with a finding.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Telling {
    /// It is a point to talk about.
    #[default]
    Told,
    /// The buyer's own matter: left out.
    Kept,
    /// Nothing is to be talked over any more, or must not be: the paper is a thank-you and says no reason.
    Farewell,
}

/// Who can clear a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Clearer {
    /// The police alone.
    Police,
    Office,
    Workshop,
    Seller,
    /// Nobody: the motor wants another boat.
    OtherBoat,
}

/// Where the buyer stands while looking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    Home,
    Seller,
    Outside,
    UnderCowl,
    Leg,
    Fuel,
    Bracket,
    Helm,
    Water,
}

/// How strongly a finding speaks for or against a fault; the odds are multiplied or divided by the factor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Strength {
    Hint,
    Fair,
    Strong,
    NearProof,
    /// The fault itself was seen: its cost is sure.
    Seen,
}

impl Strength {
    /// Likelihood ratio (from memory, a judgement): hint 2, fair 4, strong 12, near-proof 50.
    /// `seen` counts as 50 where a check that may still show it is weighed.
    #[must_use]
    pub fn factor(self) -> f64 {
        match self {
            Self::Hint => 2.0,
            Self::Fair => 4.0,
            Self::Strong => 12.0,
            Self::NearProof | Self::Seen => 50.0,
        }
    }
}

/// What a typed text must look like.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TextForm {
    #[default]
    Free,
    /// A number with letters, such as a serial number: words without a figure are asked about.
    Number,
    /// Cylinder numbers that share a head, heads apart by `/`: `1 3 / 2 4`.
    CylinderGroups,
    /// The twelve characters of an emission label.
    EngineFamily,
    /// The name or sign of a currency.
    Currency,
}
