//! What a master mechanic looks for in these papers: the likely repair first, nothing that starts a motor that must
//! not run, the gravest evidence in front, and what a workshop has to know before it touches the motor.

use super::super::testing::{KNOWLEDGE, SOUND, judged, paper, record};
use super::super::{Audience, Format};
use super::{flat, sound_but as of};
use crate::knowledge::roles;

#[test]
fn what_is_likelier_than_not_is_repaired_before_the_first_trip() {
    let likely = of(&[("gear-oil", "milky"), ("gear-seals", "never")], Audience::Buyer);
    assert!(likely.contains("Don't put it in the water before the seals are done"), "{likely}");
    assert!(!likely.contains("if it has gone milky"), "{likely}");
}

/// A cost that is no chance but sure is said to be sure.
#[test]
fn what_has_to_be_bought_is_sure_to_come() {
    let text = of(&[("shaft-length", "15 in"), ("accept-shaft-change", "midsection")], Audience::Buyer);
    let story = text.split("### ").find(|story| story.starts_with("The leg does not suit")).expect("its story");
    assert!(story.contains(", sure to come") && !story.contains("chance that you pay it"), "{story}");
    let open = of(&[("gear-oil", "milky"), ("gear-seals", "never")], Audience::Buyer);
    let story = open.split("### ").find(|story| story.starts_with("The gear oil is milky")).expect("its story");
    assert!(story.contains("chance that you pay it") && !story.contains("sure to come"), "{story}");
}

/// Who gives papers is asked about papers; the seller about the motor.
#[test]
fn each_trouble_is_taken_to_whoever_can_clear_it() {
    for (question, said, whom) in [
        ("ownership", "not-shown", "Ask: the seller about this"),
        ("serial-plate", "altered", "Ask: the office that gives papers, or a dealer, about this"),
        ("serial-matches", "no", "Ask: the office that gives papers, or a dealer, about this"),
        ("stolen-check", "hit", "Ask: the police, from somewhere else, about this"),
        ("gear-oil", "milky", "Ask: the seller about this"),
    ] {
        let text = of(&[(question, said)], Audience::Buyer);
        assert!(text.contains(whom), "{question} {said}: {}", text.chars().take(1500).collect::<String>());
    }
}

/// Three of the looks nobody took are named, and how many more there are.
#[test]
fn what_nobody_looked_at_is_named_and_counted() {
    let unseen = |ids: &[&'static str]| {
        let more: Vec<(&str, &str)> = ids.iter().map(|id| (*id, "can't tell")).collect();
        let record = record(&[SOUND, &more].concat());
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, "trusted", Audience::Buyer, Format::Markdown));
        (judgement.verdict.unseen.len(), text)
    };
    let (count, text) = unseen(&["gear-oil", "dipstick", "turns-over", "fuel-leak", "bracket", "throttle-returns"]);
    assert!(count >= 5, "{count} looks of the core are open");
    assert!(text.contains(&format!(" and {} more", count - 3)), "{text}");
    assert!(!text.contains(&format!(" and {} more", count - 2)), "{text}");
}

/// A box for what this motor cannot have is not printed, one for what may be there is.
#[test]
fn the_mechanic_has_no_box_for_what_this_motor_lacks() {
    let boxes = |more: &[(&str, &str)]| of(more, Audience::Mechanic);
    let electric = boxes(&[]);
    for there in ["volts: rest ____ cranking ____ running ____ rpm ____", "codes ____", "oil ____ (one of"] {
        assert!(electric.contains(there), "{there}: {electric}");
    }
    let rope = boxes(&[("start", "rope"), ("fuel-system", "carburettor")]);
    for lacks in ["cranking ____", "codes ____"] {
        assert!(!rope.contains(lacks), "{lacks}: {rope}");
    }
    assert!(rope.contains("gearcase-test: result ____") && rope.contains("hours ____"), "{rope}");
}

#[test]
fn a_stop_has_no_list_for_after_buying_and_no_further_check() {
    let stopped = of(&[("noise", "deep-knock")], Audience::Buyer);
    assert!(!stopped.contains("## After buying") && !stopped.contains("- Check: "), "{stopped}");
    assert!(of(&[], Audience::Buyer).contains("## After buying"));
}

#[test]
fn compression_by_wire_is_nobodys_next_check() {
    let unread = [("compression", "not done"), ("compression-again", "not done"), ("compression-wet", "not done")];
    let checks = |more: &[(&str, &str)]| {
        let record = record(&[SOUND, &unread, more].concat());
        let first = judged(&record).checks.first;
        first.iter().any(|next| next.question == KNOWLEDGE.ask(roles::COMPRESSION.any))
    };
    assert!(checks(&[]) && !checks(&[("motor-controls", "electronic")]));
    let by_wire = of(&[&unread[..], &[("motor-controls", "electronic")]].concat(), Audience::Buyer);
    assert!(by_wire.contains("nobody has looked at compression"), "{by_wire}");
}

#[test]
fn while_undecided_the_gravest_thing_is_named_at_the_top() {
    let unread = [("compression", "not done"), ("compression-again", "not done"), ("gear-metal", "chips")];
    let text = of(&unread, Audience::Buyer);
    let head = text.split("## ").next().unwrap_or_default();
    assert!(head.contains("Besides: metal chips on the drain screw (serious)"), "{head}");
}

#[test]
fn the_mechanic_learns_how_a_two_stroke_gets_its_oil_and_whose_papers_these_are() {
    let two = of(&[("strokes", "two"), ("oil-mix", "premixed")], Audience::Mechanic);
    assert!(two.contains("Oil for this two-stroke - oil in the fuel"), "{two}");
    let other = of(&[("serial-matches", "no")], Audience::Mechanic);
    assert!(other.contains("The papers are for another number"), "{other}");
    let same = of(&[], Audience::Mechanic);
    assert!(!same.contains("another number") && !same.contains("two-stroke -"), "{same}");
}

#[test]
fn the_mechanic_learns_how_the_seller_explains_new_oil() {
    let told = [("gear-oil", "new"), ("gear-oil-reason", "lower unit swapped last month")];
    assert!(of(&told, Audience::Mechanic).contains("lower unit swapped last month"));
}

#[test]
fn two_low_cylinders_of_one_head_are_the_gaskets_story() {
    let low = [
        ("compression", "190 120 118 psi"),
        ("compression-again", "191 121 119 psi"),
        ("shared-head", "1 2 3"),
        ("plugs", "tan, steam-clean, steam-clean"),
    ];
    let buyer = of(&low, Audience::Buyer);
    assert!(buyer.contains("the head gasket leaks (9"), "{buyer}");
    assert!(of(&low, Audience::Mechanic).contains("1 head-gasket: [ ] fine"));
    let one = [("compression", "190 186 118 psi"), ("compression-again", "191 186 119 psi")];
    assert!(of(&one, Audience::Mechanic).contains("1 rings-bore-piston: [ ] fine"));
}

#[test]
fn an_eaten_bracket_is_asked_by_itself_beside_a_stuck_rod() {
    let both = [("bracket", "deep-corrosion"), ("steering-feel", "stiff"), ("stiff-where", "rod")];
    let text = of(&both, Audience::Mechanic);
    assert!(text.contains("bracket-eaten: [ ] fine") && text.contains("steering-bracket: [ ] fine"), "{text}");
}

#[test]
fn what_is_said_to_the_seller_keeps_its_request() {
    let text = of(&[("gear-oil", "milky"), ("gear-seals", "never")], Audience::Seller);
    assert!(text.contains("Would you have it resealed and tested before the sale"), "{text}");
}
