//! The templates of `templates/`, built in; the only place that knows the template engine.
//!
//! `words/*.txt` are sentences both formats share: an included template is escaped as the one that includes it.
//! Every value goes through [`typed`], whoever wrote it; then Markdown values go through [`markdown::escape`] and the
//! whole through [`markdown::tidy`], HTML values through the engine's own escape.

use std::sync::LazyLock;

use serde::Serialize;
use tera::{Context, Kwargs, State, Tera, escape_html};

use super::Audience;
use super::markdown;
use super::sheet::Sheet;
use super::view::{Buyer, Mechanic, Scene, Seller};
use super::words::typed;

/// Every template by its name; built in one by one, so that a change of any is noticed.
macro_rules! templates {
    ($($name:literal),+ $(,)?) => {
        const TEMPLATES: &[(&str, &str)] = &[
            $(($name, include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/", $name)))),+
        ];
    };
}

templates! {
    "base.html",
    "buyer.html",
    "buyer.md",
    "fill-in.js",
    "mechanic.html",
    "mechanic.md",
    "seller.html",
    "seller.md",
    "sheet.html",
    "sheet.md",
    "style.css",
    "parts/bars.html",
    "parts/boxes.html",
    "parts/photo.html",
    "parts/point.html",
    "parts/point.md",
    "parts/spread.html",
    "parts/story.html",
    "parts/story.md",
    "words/before-sale.txt",
    "words/end.txt",
    "words/farewell.txt",
    "words/fill-in.txt",
    "words/good.txt",
    "words/hangs-on.txt",
    "words/greeting.txt",
    "words/leaving.txt",
    "words/letters.txt",
    "words/limits.txt",
    "words/nothing.txt",
    "words/price.txt",
    "words/seen.txt",
    "words/settled.txt",
    "words/sheet.txt",
    "words/spread.txt",
    "words/turn.txt",
    "words/typical.txt",
    "words/value.txt",
    "words/verdict.txt",
    "words/why.txt",
}

static MARKDOWN: LazyLock<Result<Tera, String>> = LazyLock::new(|| {
    let mut tera = Tera::default();
    tera.set_escape_fn(|text, out| out.write_all(markdown::escape(&typed(text)).as_bytes()));
    tera.autoescape_on([".md"]);
    // Inside the brackets of a link a closing bracket would end it.
    tera.register_filter("label", |text: &str, _: Kwargs, _: &State<'_>| {
        markdown::escape(&typed(text)).replace(']', "\\]")
    });
    load(tera, ".md")
});

static HTML: LazyLock<Result<Tera, String>> = LazyLock::new(|| {
    let mut tera = Tera::default();
    tera.set_escape_fn(|text, out| escape_html(&typed(text), out));
    tera.autoescape_on([".html"]);
    load(tera, ".html")
});

static PLAIN: LazyLock<Result<Tera, String>> = LazyLock::new(|| load(Tera::default(), ".txt"));

/// Adds the templates of one format and the words both share; a line end at the end of a file is none of its text.
fn load(mut tera: Tera, ending: &str) -> Result<Tera, String> {
    let wanted =
        TEMPLATES.iter().filter(|(name, _)| [ending, ".txt", ".css", ".js"].iter().any(|end| name.ends_with(end)));
    tera.add_raw_templates(wanted.map(|(name, text)| (*name, text.trim_end())))
        .map_err(|problem| told(&problem))?;
    Ok(tera)
}

/// The paper as Markdown that reads well as plain text.
pub fn markdown(scene: &Scene<'_, '_>) -> Result<String, String> {
    paper(&MARKDOWN, scene, "md").map(|text| markdown::tidy(&text))
}

/// The paper as one HTML file.
pub fn html(scene: &Scene<'_, '_>) -> Result<String, String> {
    paper(&HTML, scene, "html")
}

/// A field sheet.
pub fn sheet(view: &Sheet, html: bool) -> Result<String, String> {
    if html {
        return fill(HTML.as_ref().map_err(Clone::clone)?, "sheet.html", view);
    }
    fill(MARKDOWN.as_ref().map_err(Clone::clone)?, "sheet.md", view).map(|text| markdown::tidy(&text))
}

/// One of the shared sentences as plain text, for a terminal. What it needs stands in the view under `key`.
pub fn sentence(name: &str, key: &'static str, view: &impl Serialize) -> Result<String, String> {
    let mut context = Context::new();
    context.insert(key, view);
    let text = PLAIN.as_ref().map_err(Clone::clone)?.render(name, &context).map_err(|problem| told(&problem))?;
    Ok(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn paper(
    tera: &'static LazyLock<Result<Tera, String>>,
    scene: &Scene<'_, '_>,
    ending: &str,
) -> Result<String, String> {
    let tera = tera.as_ref().map_err(Clone::clone)?;
    match scene.audience {
        Audience::Buyer => fill(tera, &format!("buyer.{ending}"), &Buyer::of(scene)),
        Audience::Mechanic => {
            let mut view = Mechanic::of(scene);
            if ending == "html" {
                view.text = markdown(scene)?.replace('&', "&amp;").replace('<', "&lt;");
            }
            fill(tera, &format!("mechanic.{ending}"), &view)
        }
        Audience::Seller => fill(tera, &format!("seller.{ending}"), &Seller::of(scene)),
    }
}

fn fill(tera: &Tera, template: &str, view: &impl Serialize) -> Result<String, String> {
    let context = Context::from_serialize(view).map_err(|problem| told(&problem))?;
    tera.render(template, &context).map_err(|problem| told(&problem))
}

/// The problem with everything that led to it.
fn told(problem: &dyn std::error::Error) -> String {
    let mut text = format!("a template does not fit: {problem}");
    let mut cause = problem.source();
    while let Some(deeper) = cause {
        text.push_str(&format!(": {deeper}"));
        cause = deeper.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sentence that no paper says is no sentence.
    #[test]
    fn every_shared_template_is_taken_up_by_another() {
        for (name, _) in TEMPLATES.iter().filter(|(name, _)| name.contains('/')) {
            let named = format!("\"{name}\"");
            assert!(TEMPLATES.iter().any(|(_, text)| text.contains(&named)), "{name}");
        }
    }
}
