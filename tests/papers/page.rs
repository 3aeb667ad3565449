//! The mechanic's page in a browser: filled in with a finger, and with photos in it.

use std::fs;
use std::path::Path;

use crate::browser;
use crate::support::{self, TODAY, knowledge, skeg};
use crate::{file, judged, keep, milky, paper, settled, take_in, ticked};
use serde_json::Value;

/// Fills in a mechanic's paper as a person with a finger does, presses the button, and leaves the text it gives.
const FINGER: &str = r#"<script>
var out = document.createElement("pre");
function put(field, value) { field.value = value; field.dispatchEvent(new Event("input", { bubbles: true })); }
function set(key) { return document.querySelector("fieldset[data-key='" + key + "']"); }
function tick(key, label) { set(key).querySelector("[data-tick=\"" + label + "\"]").click(); }
tick("gearcase-seals", "fine");
tick("gearcase-seals", "faulty");
put(set("gearcase-seals").querySelector("[data-price]"), "450");
put(set("gearcase-seals").querySelector("[data-words]"), "both [seals], \n# pump > next time");
tick("anodes", "fine");
tick("corrosion-wiring", "faulty");
tick("corrosion-wiring", "faulty");
["171", "168", "140"].forEach(function (value, place) {
  put(document.querySelector("[data-cell='c" + (place + 1) + "']"), value);
});
put(document.querySelector("[data-cell='heard']"), "exhaust");
put(set("also-1").querySelector("[data-words]"), "lower mount torn");
put(set("also-1").querySelector("[data-price]"), "90");
tick("overall", "repair first");
put(document.querySelector("[data-blank='total:']"), "540");
put(document.querySelector("[data-choice]"), "yes");
document.getElementById("copy").click();
out.id = "given";
out.textContent = document.getElementById("text").value;
document.body.appendChild(out);
out = document.createElement("pre");
out.id = "seen";
out.textContent = [document.getElementById("send").hidden, document.documentElement.scrollWidth].join(" ");
document.body.appendChild(out);
</script></body>"#;

/// The text of an element of a page as the browser has it.
fn element(page: &str, id: &str) -> String {
    let start = format!("<pre id=\"{id}\">");
    let text = page.split(&start).nth(1).and_then(|rest| rest.split("</pre>").next()).unwrap_or_default();
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&nbsp;", "\u{a0}").replace("&amp;", "&")
}

#[test]
fn what_the_button_gives_says_the_same_as_the_paper_filled_in_by_hand() {
    let home = milky();
    let html = skeg().home(home.path()).args(["report", "milky", "--for", "mechanic", "--format", "html"]).ok();
    let file = home.path().join("fill-in.html");
    fs::write(&file, html.replace("</body>", FINGER)).unwrap();
    let url = format!("file://{}", file.display());
    let test = "what the button of the mechanic's paper gives";
    let Some(page) = browser::browser(test, &["--window-size=390,844", "--dump-dom", &url]) else { return };
    let given = element(&page, "given");
    // A tick that was taken back is none, a second tick takes the first one's place.
    assert!(given.contains("[ ] fine  [x] faulty  [ ] can't say  price 450"), "{given}");
    assert!(given.contains("3 corrosion-wiring: [ ] fine  [ ] faulty"), "{given}");
    assert!(element(&page, "seen").starts_with("false "), "the button shows: {page}");
    let by_button = take_in(home.path(), "milky", &given);
    assert_eq!(by_button.status, Some(0), "{}", by_button.err);
    let by_hand_home = milky();
    let whole = paper(by_hand_home.path(), "milky");
    let one = ticked(&whole, "gearcase-seals", "faulty", "x", "450", "both seals , pump next time");
    let two = ticked(&one, "anodes", "fine", "x", "", "");
    let by_hand = two
        .replace("c1 ____  c2 ____  c3 ____", "c1 171  c2 168  c3 140")
        .replace("heard ____", "heard exhaust")
        .replace("also-1: ____________________________  price ______", "also-1: lower mount torn  price 90")
        .replace("[ ] repair first", "[x] repair first")
        .replace("total: ______  with labour and tax: yes / no", "total: 540  with labour and tax: yes");
    assert_eq!(take_in(by_hand_home.path(), "milky", &by_hand).status, Some(0));
    assert_eq!(settled(home.path(), "milky"), settled(by_hand_home.path(), "milky"), "{given}");
    assert_eq!(judged(home.path(), "milky")["money"], judged(by_hand_home.path(), "milky")["money"]);
    let readings = |home: &Path| {
        let kept: Value = serde_json::from_str(&self::file(home, "milky")).unwrap();
        kept["answers"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|one| one["by-mechanic"] == true)
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(readings(home.path()), readings(by_hand_home.path()));
}

/// A picture of one dot, as PNG.
const DOT: &[u8] = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89\x00\x00\x00\rIDATx\x9cc\xf8\xcf\xc0\xf0\x1f\x00\x05\x00\x01\xff\x89\x99=\x1d\x00\x00\x00\x00IEND\xaeB`\x82";

/// A page somebody else opens has the photos in it, and says of one that is gone that it is.
#[test]
fn photos_travel_in_the_page() {
    let home = tempfile::tempdir().unwrap();
    let dot = home.path().join("oil.png");
    fs::write(&dot, DOT).unwrap();
    let text = fs::read_to_string("examples/milky-gearcase.json").unwrap();
    let (mut record, date) = skeg::read_answers_file(&text, knowledge(), TODAY).unwrap();
    let gone = home.path().join("gone.png").to_str().unwrap().to_owned();
    record.answer_mut(support::ix("gear-oil")).photos = vec![dot.to_str().unwrap().to_owned(), gone];
    keep(home.path(), "milky", record, date);
    let report = |format: &str| skeg().home(home.path()).args(["report", "milky", "--format", format]).ok();
    let page = report("html");
    assert!(page.contains("src=\"data:image/"), "the photo is not in it");
    assert!(page.contains("it is not there any more"), "the other is not missed");
    assert!(!report("markdown").contains("data:image"), "a letter has no room for pictures");
}
