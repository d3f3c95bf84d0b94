//! What a person does on a page: types, chooses, presses, follows.
use super::{Browser, PATIENCE, PAUSE};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::time::Duration;
use thirtyfour::prelude::*;

/// The field a label is tied to; of labels that begin with these words the shortest.
const FIELD: &str = "const field = words => {
        const said = l => l.innerText.trim().replace(/\\s+/g, ' ');
        const fit = [...document.querySelectorAll('label')].filter(l => l.control && said(l).startsWith(words));
        fit.sort((a, b) => said(a).length - said(b).length);
        return fit.length ? fit[0].control : null;
    };";

/// Everything at an XPath.
const AT: &str = "const at = path => {
        const all = document.evaluate(path, document, null, XPathResult.ORDERED_NODE_SNAPSHOT_TYPE, null);
        return Array.from({ length: all.snapshotLength }, (_, i) => all.snapshotItem(i));
    };";

/// The middle of what is seen of an element, and what lies over it there.
const SPOT: &str = "const spot = it => {
        it.scrollIntoView({ block: 'center', behavior: 'instant' });
        const box = it.getClientRects()[0];
        if (!box) return { x: 0, y: 0, under: 'nothing, it is not shown: ' + it.outerHTML.slice(0, 80) };
        const x = (Math.max(box.left, 0) + Math.min(box.right, innerWidth)) / 2;
        const y = (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2;
        const top = document.elementFromPoint(x, y);
        return { x, y, under: it.contains(top) ? '' : top ? top.outerHTML.slice(0, 80) : 'the edge of the window' };
    };";

/// Where to press, in CSS pixels of the window.
#[derive(Default, serde::Deserialize)]
#[serde(default)]
struct Spot {
    x: f64,
    y: f64,
    /// What would be hit instead.
    under: String,
    hidden: bool,
    /// Whether another page comes of it.
    leads: bool,
}

impl Browser {
    /// Types into the field with that label, in place of what stands there; for dates type `2031-09-15`.
    pub async fn fill(&self, label: &str, text: &str) {
        // all at once, as from the clipboard: key by key is what most of a journey would wait for
        let begin = format!(
            "(words, text) => {{ {FIELD} const at = field(words); if (!at) return null;
            if (at.type.startsWith('date')) {{
                at.value = text; at.dispatchEvent(new Event('change', {{ bubbles: true }})); return 'set';
            }}
            at.scrollIntoView({{ block: 'center', behavior: 'instant' }}); at.focus(); if (at.select) at.select();
            if (at.readOnly || at.disabled || document.activeElement !== at) return 'shut';
            if (text === '') document.execCommand('delete');
            return 'open'; }}"
        );
        let state: Option<String> = self.await_answer(&begin, &[json!(label), json!(text)]).await;
        match state.unwrap_or_else(|| panic!("no field “{label}”")).as_str() {
            "shut" => panic!("“{label}” takes no words"),
            "open" if !text.is_empty() => self.command("Input.insertText", json!({ "text": text })).await,
            _ => {}
        }
    }

    /// Chooses in the list with that label the option with these words.
    pub async fn choose(&self, label: &str, option: &str) {
        let choose = format!(
            "(words, option) => {{ {FIELD} const list = field(words); if (!list) return null;
            const at = [...list.options].find(o => o.text.trim().replace(/\\s+/g, ' ') === option && !o.disabled);
            if (!at || list.disabled) return false;
            if (!at.selected) {{
                list.focus(); at.selected = true;
                for (const kind of ['input', 'change']) list.dispatchEvent(new Event(kind, {{ bubbles: true }}));
            }}
            return true; }}"
        );
        let chosen: Option<bool> = self.await_answer(&choose, &[json!(label), json!(option)]).await;
        assert!(chosen.unwrap_or_else(|| panic!("no field “{label}”")), "“{label}” offers no “{option}”");
    }

    /// Ticks the box or picks the choice with that label.
    pub async fn tick(&self, label: &str) {
        let find = format!("words => {{ {FIELD} {SPOT} const at = field(words); return at && spot(at); }}");
        let spot = self.await_answer(&find, &[json!(label)]).await;
        self.click_at(spot.unwrap_or_else(|| panic!("no field “{label}”")), label).await;
    }

    /// Chooses files in the field with that label.
    pub async fn attach(&self, label: &str, files: &[PathBuf]) {
        let paths: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
        self.field(label).await.send_keys(paths.join("\n")).await.unwrap();
    }

    /// The field a label is tied to; of labels that begin with these words the shortest.
    pub async fn field(&self, label: &str) -> WebElement {
        let find = format!("{FIELD} return field(arguments[0]);");
        let found = self.driver.execute(find, vec![json!(label)]).await.unwrap();
        found.element().unwrap_or_else(|_| panic!("no field “{label}”"))
    }

    /// Presses the button with these words and waits for the page it leads to.
    pub async fn press(&self, words: &str) {
        let path =
            format!("//button[normalize-space()={0}]|//input[@type='submit'][@value={0}]", quoted(words));
        self.click(&path, words).await;
    }

    /// Follows the link with these words.
    pub async fn follow(&self, words: &str) {
        self.click(&format!("//a[normalize-space()={}]", quoted(words)), words).await;
    }

    /// Goes by the main navigation, which a telephone keeps behind a button.
    pub async fn go(&self, words: &str) {
        self.menu().await;
        self.click(&format!("//nav[@aria-label='Main']//a[normalize-space()={}]", quoted(words)), words)
            .await;
    }

    /// Opens the menu of a telephone; at a desk it is always there.
    pub async fn menu(&self) {
        let find = format!(
            "() => {{ {SPOT} const at = document.querySelector('.menu-button');
            return at && (at.checkVisibility({{ visibilityProperty: true }}) ? spot(at) : {{ hidden: true }}); }}"
        );
        let spot: Spot = self.await_answer(&find, &[]).await.expect("a page with a menu");
        if !spot.hidden {
            self.click_at(spot, "Menu").await;
        }
    }

    /// Opens what is folded under these words, unless it is open.
    pub async fn unfold(&self, words: &str) {
        let path = format!("//details[not(@open)]/summary[contains(normalize-space(), {})]", quoted(words));
        let find = format!(
            "path => {{ {SPOT} {AT} const it = at(path)[0]; return it ? spot(it) : {{ hidden: true }}; }}"
        );
        let spot: Spot = self.ask(&find, &[json!(path)]).await.unwrap();
        if !spot.hidden {
            self.click_at(spot, words).await;
        }
    }

    /// Follows a link that hands out a file; where the browser has put it.
    pub async fn download(&self, words: &str, folder: &Path) -> PathBuf {
        let wish = json!({ "behavior": "allow", "downloadPath": folder.display().to_string() });
        self.driver.cdp().send_raw("Browser.setDownloadBehavior", wish).await.unwrap();
        let path = format!("//main//a[normalize-space()={}]", quoted(words));
        let link = self.driver.query(By::XPath(path)).and_displayed().wait(PATIENCE, PAUSE).first().await;
        let link = link.unwrap_or_else(|_| panic!("nothing to take away says “{words}”"));
        link.scroll_into_view().await.unwrap();
        link.click().await.unwrap();
        for _ in 0..300 {
            let mut files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap());
            if let Some(file) = files.find(is_whole) {
                return file.path();
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
        panic!("“{words}” brought no file");
    }

    async fn click(&self, path: &str, words: &str) {
        let find = format!(
            "path => {{ {SPOT} {AT}
            const shown = i => i.checkVisibility({{ visibilityProperty: true }}) && i.getClientRects().length > 0;
            const it = at(path).find(shown); if (!it) return null;
            const leads = it.tagName === 'A' ? !it.getAttribute('href').startsWith('#')
                : it.type === 'submit' && it.form !== null && it.form.checkValidity();
            document.querySelector('main').pageBefore = true;
            return {{ ...spot(it), leads }}; }}"
        );
        let spot: Option<Spot> = self.await_answer(&find, &[json!(path)]).await;
        let Some(spot) = spot else { panic!("nothing to press says “{words}” on {}", self.path().await) };
        let leads_on = spot.leads;
        self.click_at(spot, words).await;
        if leads_on {
            self.await_page().await;
        }
    }

    /// Presses and lets go of the mouse where something was found.
    async fn click_at(&self, spot: Spot, words: &str) {
        assert!(spot.under.is_empty(), "“{words}” lies under {}", spot.under);
        for kind in ["mousePressed", "mouseReleased"] {
            let event = json!({ "type": kind, "x": spot.x, "y": spot.y, "button": "left", "clickCount": 1 });
            self.command("Input.dispatchMouseEvent", event).await;
        }
    }

    /// Waits until another page, or another answer within it, has come in place of the marked one.
    async fn await_page(&self) {
        for _ in 0..100 {
            let come = "() => { const main = document.querySelector('main');
                return !!main && !main.pageBefore && document.readyState === 'complete'; }";
            if self.ask(come, &[]).await.is_ok_and(|come: bool| come) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }
}

/// The browser keeps the name free with an empty file, writes beside it and puts the whole file in its place at the end.
fn is_whole(file: &std::fs::DirEntry) -> bool {
    let name = file.file_name();
    let name = name.to_string_lossy();
    !name.starts_with('.')
        && !name.ends_with(".crdownload")
        && file.metadata().is_ok_and(|about| about.is_file() && about.len() > 0)
}

/// Words as XPath writes them.
fn quoted(words: &str) -> String {
    if words.contains('\'') { format!("\"{words}\"") } else { format!("'{words}'") }
}
