//! What a person and the judges see of a page.
use super::{Browser, PAUSE};
use crate::judged;
use serde_json::{Value, json};
use std::path::Path;
use std::sync::LazyLock;
use std::sync::atomic::Ordering;

/// The judge of accessibility, by its npm package.
static AXE: LazyLock<String> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("node/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(path).expect("tests/run.sh installs axe-core")
});

/// How a page is built: its tags with their attributes, numbers and ids apart, and where words stand.
const BUILD: &str = "() => { const worded = ['value', 'href', 'src', 'action', 'content', 'title', 'alt', 'aria-label', 'datetime', 'd'];
    const said = a => worded.includes(a.name) ? (a.value.trim() ? 'words' : '') : a.value.replace(/[0-9a-f-]{36}|[0-9.]+/g, '#');
    const words = e => [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) ? ' words' : '';
    return [...document.querySelectorAll('*')].map(e => [e.parentElement?.localName, e.localName,
        ...[...e.attributes].map(a => a.name + '=' + said(a))].join(' ') + words(e)).join('|'); }";

const RUN_AXE: &str = "const done = arguments[arguments.length - 1];
    axe.run(document, { resultTypes: ['violations'], rules: { 'color-contrast': { enabled: arguments[0] } }, runOnly: { type: 'tag', values:
        ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] } })
    .then(found => done(found.violations.flatMap(v => v.nodes.map(n =>
        `${v.id}: ${v.help}: ${n.html.slice(0, 160)} (${n.any.concat(n.all).map(c => c.message).join('; ').slice(0, 200)})`))))
    .catch(cause => done(['axe failed: ' + cause]));";

impl Browser {
    /// The words of the first thing a CSS selector finds.
    pub async fn text(&self, selector: &str) -> String {
        // the browser's own words: the driver's go through every element and ask how it is styled
        let read = "selector => document.querySelector(selector)?.innerText ?? null";
        let said: Option<String> = self.await_answer(read, &[json!(selector)]).await;
        // cells of a table are separated by tabs
        said.unwrap_or_else(|| panic!("no {selector}")).replace('\t', " ")
    }

    /// Fails unless this is the page of that heading, everybody can read it, and nothing stands out sideways.
    pub async fn assert_page(&self, heading: &str) {
        let said = self.text("h1").await;
        assert!(said.contains(heading), "{} is “{said}”, not “{heading}”", self.path().await);
        if self.scripts.load(Ordering::Relaxed) {
            self.assert_accessible().await;
        }
        let over = self.overflow().await;
        assert!(over <= 0, "{}: {over} px too wide", self.path().await);
    }

    /// Fails unless the page says these words where they can be seen.
    pub async fn assert_says(&self, words: &str) {
        let said = self.text("main").await;
        assert!(contains(&said, words), "{} does not say “{words}”:\n{said}", self.path().await);
    }

    /// Waits until the page says these words: what leads on by itself, or takes its time.
    pub async fn assert_comes(&self, words: &str) {
        let mut read = String::new();
        for _ in 0..600 {
            // The page changes under the words while it leads on: they are read whole, again and again.
            read = self.ask("() => document.body.innerText", &[]).await.unwrap_or_default();
            if read.contains(words) {
                return;
            }
            tokio::time::sleep(PAUSE).await;
        }
        panic!("“{words}” does not come:\n{read}");
    }

    /// Fails if the page says these words.
    pub async fn assert_silent(&self, words: &str) {
        let said: String = self.ask("() => document.documentElement.outerHTML", &[]).await.unwrap();
        assert!(!contains(&said, words), "{} says “{words}”", self.path().await);
    }

    /// What axe-core finds wrong with the page as it is shown, the contrast of colours among it where asked for.
    pub async fn inaccessible(&self, contrast: bool) -> Vec<String> {
        // The judge is a script itself; those of the page have had their time when it comes.
        let on = self.scripts.load(Ordering::Relaxed);
        self.let_run(true).await;
        let come: bool =
            self.driver.execute("return 'axe' in window;", Vec::new()).await.unwrap().convert().unwrap();
        if !come {
            self.driver.execute(AXE.as_str(), Vec::new()).await.unwrap();
            // From now on every page comes with it: the same script once more is not translated again.
            let script = json!({ "source": AXE.as_str() });
            self.driver.cdp().send_raw("Page.addScriptToEvaluateOnNewDocument", script).await.unwrap();
        }
        let found =
            self.driver.execute_async(RUN_AXE, vec![json!(contrast)]).await.unwrap().convert().unwrap();
        self.let_run(on).await;
        found
    }

    /// Fails unless axe-core finds nothing wrong; each build of a page is judged once at each width. Contrast, which takes as long as all else
    /// together, is judged on the walk over all pages: the colours are the same everywhere.
    pub async fn assert_accessible(&self) {
        let build: String = self.ask(BUILD, &[]).await.unwrap();
        let mark = judged::mark(&("build", self.width.load(Ordering::Relaxed), build));
        if mark.found_good() {
            return;
        }
        let wrong = self.inaccessible(false).await;
        assert!(wrong.is_empty(), "{}:\n{}", self.path().await, wrong.join("\n"));
        mark.leave();
    }

    /// By how many CSS pixels the page is wider than the window.
    pub async fn overflow(&self) -> i64 {
        let wider = "() => { const e = document.documentElement; return e.scrollWidth - e.clientWidth; }";
        self.ask(wider, &[]).await.unwrap()
    }

    /// What the console said since it was last asked: script errors and breaches of the content policy. That a form came
    /// back with its faults marked is no error.
    pub async fn complaints(&self) -> Vec<String> {
        let lines = self.driver.browser_log().await.unwrap();
        let wrong = lines.into_iter().filter(|line| line.level == "SEVERE" || line.level == "WARNING");
        wrong.map(|line| line.message).filter(|message| !message.contains("a status of 422")).collect()
    }

    /// Fails unless the console said nothing.
    pub async fn assert_quiet(&self) {
        let said = self.complaints().await;
        assert!(said.is_empty(), "the console said:\n{}", said.join("\n"));
    }

    /// A picture of the whole page, for looking at while writing a test.
    pub async fn picture(&self, file: &Path) {
        let whole = json!({ "captureBeyondViewport": true });
        let taken: Value = self.driver.cdp().send_raw("Page.captureScreenshot", whole).await.unwrap();
        let text = taken["data"].as_str().unwrap();
        std::fs::write(
            file,
            base64::Engine::decode(&base64::engine::general_purpose::STANDARD, text).unwrap(),
        )
        .unwrap();
    }
}

/// Whether words are said, large or small letters alike: the look of a page raises first letters.
fn contains(said: &str, words: &str) -> bool {
    said.to_lowercase().contains(&words.to_lowercase())
}
