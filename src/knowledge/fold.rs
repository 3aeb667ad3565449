//! From findings to stories: several findings of one fault are one story, told once.
//!
//! Start at [`fold`]. The fold is a fact of the question data alone. It never looks at an interview's chances: a
//! paper that comes back weeks later has to find its points under the same names.

use super::condition::Named;
use super::ids::{FaultIx, FindingIx, ItemIx, QuestionIx};
use super::model::{Finding, Grade, Knowledge};

/// What a story is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Story {
    /// A place in [`Knowledge::stories`]: whose the motor is, whether it is what it says, whether it was under water.
    Named(usize),
    Fault(FaultIx),
    /// Something to be bought, where no fault stands behind it.
    Item(ItemIx),
    /// A finding that belongs to nothing else.
    Alone(FindingIx),
}

/// The story of every finding, in the order of the data. A good sign stands alone: it is no part of a trouble.
pub(super) fn fold(knowledge: &Knowledge) -> Vec<Story> {
    let mut homes: Vec<Option<Story>> = knowledge.findings.iter().map(own_story).collect();
    let read: Vec<Vec<QuestionIx>> =
        knowledge.findings.iter().map(|finding| questions_of(knowledge, finding)).collect();
    homes = (0..homes.len()).map(|place| homes[place].or_else(|| by_sign(knowledge, &homes, place))).collect();
    let contained = |place: usize| by_questions(knowledge, &homes, &read, place);
    homes = (0..homes.len()).map(|place| homes[place].or_else(|| contained(place))).collect();
    let last = |(place, home): (usize, Option<Story>)| {
        let bought = || knowledge.findings[place].costs.first().map(|item| Story::Item(*item));
        home.or_else(bought).unwrap_or(Story::Alone(FindingIx(place)))
    };
    homes.into_iter().enumerate().map(last).collect()
}

/// A named story, else the fault it speaks for most strongly; of equal ones the one the data names.
fn own_story(finding: &Finding) -> Option<Story> {
    if finding.grade == Grade::Good {
        return None;
    }
    finding.story.map(Story::Named).or_else(|| main_fault(finding).map(Story::Fault))
}

fn main_fault(finding: &Finding) -> Option<FaultIx> {
    let words = Some(&finding.speaks_for).filter(|words| !words.is_empty());
    let words = words.or_else(|| finding.instead.first().map(|instead| &instead.speaks_for))?;
    let most = words.iter().map(|(_, strength)| *strength).max()?;
    let strongest = || words.iter().filter(|(_, strength)| *strength == most).map(|(fault, _)| *fault);
    finding.main.filter(|main| strongest().any(|fault| fault == *main)).or_else(|| strongest().next())
}

/// The story in which most findings that point to the same thing stand; of equal ones the first.
fn by_sign(knowledge: &Knowledge, homes: &[Option<Story>], place: usize) -> Option<Story> {
    let finding = &knowledge.findings[place];
    let points_to = finding.points_to.as_ref().filter(|_| finding.grade != Grade::Good)?;
    let mut counted: Vec<(Story, usize)> = Vec::new();
    let alike =
        knowledge.findings.iter().zip(homes).filter(|(other, _)| other.points_to.as_ref() == Some(points_to));
    for home in alike.filter_map(|(_, home)| *home) {
        match counted.iter_mut().find(|(story, _)| *story == home) {
            Some((_, count)) => *count += 1,
            None => counted.push((home, 1)),
        }
    }
    let most = counted.iter().map(|(_, count)| *count).max()?;
    counted.into_iter().find(|(_, count)| *count == most).map(|(story, _)| story)
}

/// The story of the finding whose questions it properly contains; of several the one with most of them.
fn by_questions(
    knowledge: &Knowledge,
    homes: &[Option<Story>],
    read: &[Vec<QuestionIx>],
    place: usize,
) -> Option<Story> {
    if knowledge.findings[place].grade == Grade::Good {
        return None;
    }
    let own = &read[place];
    let mut best: Option<(usize, Story)> = None;
    for (part, home) in read.iter().zip(homes) {
        let Some(home) = home else { continue };
        let contained = !part.is_empty() && part.len() < own.len() && part.iter().all(|ix| own.contains(ix));
        if contained && best.is_none_or(|(most, _)| part.len() > most) {
            best = Some((part.len(), *home));
        }
    }
    best.map(|(_, story)| story)
}

/// Each once.
fn questions_of(knowledge: &Knowledge, finding: &Finding) -> Vec<QuestionIx> {
    let mut all = Vec::new();
    finding.when.visit(&mut |named| match named {
        Named::Question(ix) => all.push(ix),
        Named::Measure(measure) => all.extend(&knowledge.measure(measure).reads),
    });
    all.sort_unstable();
    all.dedup();
    all
}

impl Knowledge {
    /// The story a finding is told in.
    #[must_use]
    pub fn story_of(&self, finding: FindingIx) -> Story {
        self.folds[finding.0]
    }

    /// The name of a story, as it stands in a mechanic's paper: that of a named story, a fault, an item or a finding.
    #[must_use]
    pub fn story_id(&self, story: Story) -> &str {
        match story {
            Story::Named(place) => self.stories[place].id.as_str(),
            Story::Fault(fault) => self.faults[fault.0].id.as_str(),
            Story::Item(item) => self.items[item.0].id.as_str(),
            Story::Alone(finding) => self.findings[finding.0].id.as_str(),
        }
    }

    /// What a story is of, in words that begin with a small letter.
    #[must_use]
    pub fn story_title(&self, story: Story) -> &str {
        match story {
            Story::Named(place) => &self.stories[place].title,
            Story::Fault(fault) => &self.faults[fault.0].title,
            Story::Item(item) => &self.items[item.0].title,
            Story::Alone(finding) => &self.findings[finding.0].title,
        }
    }

    /// The story of that name; a finding's name leads to the story it is told in.
    #[must_use]
    pub fn story_by_id(&self, id: &str) -> Option<Story> {
        let named = self.stories.iter().position(|story| story.id == *id).map(Story::Named);
        let fault =
            || self.faults.iter().position(|fault| fault.id == *id).map(|place| Story::Fault(FaultIx(place)));
        let finding = || {
            let place = self.findings.iter().position(|finding| finding.id == *id)?;
            Some(self.story_of(FindingIx(place)))
        };
        let item = || self.item(id).map(Story::Item);
        named.or_else(fault).or_else(finding).or_else(item)
    }

    /// The fault a story is of.
    #[must_use]
    pub fn story_fault(&self, story: Story) -> Option<FaultIx> {
        match story {
            Story::Fault(fault) => Some(fault),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    fn home(knowledge: &Knowledge, id: &str) -> String {
        let place = knowledge.findings.iter().position(|finding| finding.id == *id).expect("a finding");
        knowledge.story_id(knowledge.story_of(FindingIx(place))).to_owned()
    }

    #[test]
    fn findings_of_one_fault_are_one_story() {
        let knowledge = load_shipped();
        for (finding, story) in [
            ("gear-oil-milky", "gearcase-seals"),
            ("gear-pressure-dropped", "gearcase-seals"),
            ("gear-oil-milky-after-run", "gearcase-seals"),
            ("gear-metal-chips", "gears"),
            ("bracket-cracked", "steering-bracket"),
            ("compression-far-apart", "rings-bore-piston"),
        ] {
            assert_eq!(home(&knowledge, finding), story, "{finding}");
        }
    }

    #[test]
    fn a_good_sign_is_no_part_of_a_trouble() {
        let knowledge = load_shipped();
        for (place, finding) in knowledge.findings.iter().enumerate() {
            let alone = knowledge.story_of(FindingIx(place)) == Story::Alone(FindingIx(place));
            assert!(alone || finding.grade != Grade::Good, "{}", finding.id);
        }
    }

    /// A finding that looks at all another does, and at more, is told where that other is; of two, with the larger.
    #[test]
    fn a_finding_goes_to_the_largest_it_contains() {
        let mut knowledge = load_shipped();
        let of = |all: &[usize]| all.iter().map(|place| QuestionIx(*place)).collect::<Vec<_>>();
        let (small, large) = (Story::Fault(FaultIx(0)), Story::Fault(FaultIx(1)));
        knowledge.findings[2].grade = Grade::Serious;
        for homes in [[Some(small), Some(large), None], [Some(large), Some(small), None]] {
            let mut read = vec![of(&[1]), of(&[1, 2]), of(&[1, 2, 3])];
            if homes[0] == Some(large) {
                read.swap(0, 1);
            }
            assert_eq!(by_questions(&knowledge, &homes, &read, 2), Some(large));
        }
        let apart = vec![of(&[1, 2, 3]), of(&[4]), of(&[1, 2, 3])];
        assert_eq!(by_questions(&knowledge, &[Some(small), Some(large), None], &apart, 2), None, "not part of it");
        knowledge.findings[2].grade = Grade::Good;
        let read = vec![of(&[1]), of(&[1, 2]), of(&[1, 2, 3])];
        assert_eq!(by_questions(&knowledge, &[Some(small), Some(large), None], &read, 2), None, "a good sign");
    }

    #[test]
    fn every_story_is_found_by_its_name() {
        let knowledge = load_shipped();
        for place in (0..knowledge.findings.len()).map(FindingIx) {
            let story = knowledge.story_of(place);
            assert_eq!(knowledge.story_by_id(knowledge.story_id(story)), Some(story));
        }
    }
}
