//! A real browser before the application: Chromium, headless, driven over WebDriver.
use crate::judged;
use crate::support::{Lab, PASSWORD, Visitor};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::Duration;

use thirtyfour::LoggingPrefsLogLevel;
pub use thirtyfour::prelude::By;
use thirtyfour::prelude::*;

/// A telephone held upright, in CSS pixels.
pub const PHONE: (u32, u32) = (390, 844);
/// A desk.
pub const DESKTOP: (u32, u32) = (1280, 900);
/// The narrowest page that must be read without scrolling sideways (WCAG 2.2, 1.4.10).
pub const NARROW: (u32, u32) = (320, 640);

/// How long something may take to appear, and how often one looks.
const PATIENCE: Duration = Duration::from_secs(4);
const PAUSE: Duration = Duration::from_millis(50);

/// The browser without windows or chrome of its own: the same engine, half the work.
const PROGRAM: &str = "/usr/bin/chromium-headless-shell";

/// Without these it calls home or asks for what a bare machine does not have.
const FLAGS: [&str; 11] = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-software-rasterizer",
    "--in-process-gpu",
    "--no-zygote",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/// Where nobody watches how a page is painted: drawn and collected on the one thread it costs a fifth less.
const UNWATCHED: [&str; 5] = [
    "--disable-threaded-compositing",
    "--disable-threaded-animation",
    "--disable-smooth-scrolling",
    "--animation-duration-scale=0",
    "--js-flags=--single-threaded",
];

/// The judge of accessibility, by its npm package.
static AXE: LazyLock<String> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("node/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(path).expect("tests/run.sh installs axe-core")
});

/// How a page is built: its tags with their attributes, numbers and ids apart, and where words stand.
const BUILD: &str = "const worded = ['value', 'href', 'src', 'action', 'content', 'title', 'alt', 'aria-label', 'datetime', 'd'];
    const said = a => worded.includes(a.name) ? (a.value.trim() ? 'words' : '') : a.value.replace(/[0-9a-f-]{36}|[0-9.]+/g, '#');
    const words = e => [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) ? ' words' : '';
    return [...document.querySelectorAll('*')].map(e => [e.parentElement?.localName, e.localName,
        ...[...e.attributes].map(a => a.name + '=' + said(a))].join(' ') + words(e)).join('|');";

const RUN_AXE: &str = "const done = arguments[arguments.length - 1];
    axe.run(document, { resultTypes: ['violations'], rules: { 'color-contrast': { enabled: arguments[0] } }, runOnly: { type: 'tag', values:
        ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] } })
    .then(found => done(found.violations.flatMap(v => v.nodes.map(n =>
        `${v.id}: ${v.help}: ${n.html.slice(0, 160)} (${n.any.concat(n.all).map(c => c.message).join('; ').slice(0, 200)})`))))
    .catch(cause => done(['axe failed: ' + cause]));";

/// A browser with one tab, and the server it looks at.
pub struct Browser {
    pub driver: WebDriver,
    /// Where the application is, without a slash at the end.
    pub base: String,
    scripts: AtomicBool,
    /// In CSS pixels.
    width: AtomicU32,
    _process: Driver,
}

/// The process that steers the browser; its whole group ends with it.
struct Driver(Child);

impl Drop for Driver {
    fn drop(&mut self) {
        let group = format!("-{}", self.0.id());
        // A group that is gone already needs no ending.
        let _ = Command::new("kill").args(["-KILL", "--", &group]).stderr(Stdio::null()).status();
        let _ = self.0.wait();
    }
}

impl Browser {
    /// A fresh browser before the application of a lab, at desktop size.
    pub async fn open(lab: &Lab) -> Browser {
        Self::start(lab, &UNWATCHED).await
    }

    /// The same, painting as before somebody's eyes: for a test that asks when.
    pub async fn open_watched(lab: &Lab) -> Browser {
        Self::start(lab, &[]).await
    }

    async fn start(lab: &Lab, more: &[&str]) -> Browser {
        let base = lab.serve().await;
        let (process, address) = start_driver();
        let mut wishes = DesiredCapabilities::chrome();
        wishes.set_binary(PROGRAM).unwrap();
        for flag in FLAGS.iter().chain(more) {
            wishes.add_arg(flag).unwrap();
        }
        // A document is handed over as a file, as telephones do, not shown within the tab.
        let wish = json!({ "plugins.always_open_pdf_externally": true });
        wishes.add_experimental_option("prefs", wish).unwrap();
        wishes.set_browser_log_level(LoggingPrefsLogLevel::All).unwrap();
        let driver = WebDriver::new(address, wishes).await.unwrap();
        let browser = Browser {
            driver,
            base,
            scripts: AtomicBool::new(true),
            width: AtomicU32::new(DESKTOP.0),
            _process: process,
        };
        browser.size(DESKTOP).await;
        browser
    }

    /// Goes on before the application of another lab, as nobody; what the console said must have been nothing.
    pub async fn turn_to(&mut self, lab: &Lab) {
        self.assert_quiet().await;
        self.driver.goto("about:blank").await.unwrap();
        self.driver.cdp().send_raw("Network.clearBrowserCookies", json!({})).await.unwrap();
        self.base = lab.serve().await;
    }

    /// Ends the browser; what the console said must have been nothing.
    pub async fn close(self) {
        self.assert_quiet().await;
        self.driver.quit().await.unwrap();
    }

    /// Gives the page that many CSS pixels.
    pub async fn size(&self, (width, height): (u32, u32)) {
        self.width.store(width, Ordering::Relaxed);
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600 });
        self.driver.cdp().send_raw("Emulation.setDeviceMetricsOverride", metrics).await.unwrap();
    }

    /// Turns the scripts of pages on or off.
    pub async fn scripts(&self, on: bool) {
        self.scripts.store(on, Ordering::Relaxed);
        self.let_run(on).await;
    }

    async fn let_run(&self, on: bool) {
        self.driver
            .cdp()
            .send_raw("Emulation.setScriptExecutionDisabled", json!({ "value": !on }))
            .await
            .unwrap();
    }

    /// Opens a path of the application.
    pub async fn goto(&self, path: &str) {
        self.driver.goto(format!("{}{path}", self.base)).await.unwrap();
    }

    /// The path of the page that is open, with what stands behind the question mark.
    pub async fn path(&self) -> String {
        let url = self.driver.current_url().await.unwrap();
        url.as_str().strip_prefix(&self.base).unwrap_or(url.as_str()).to_owned()
    }

    /// Goes on as a visitor who is signed in already.
    pub async fn go_on_as(&self, visitor: &Visitor) {
        let cdp = self.driver.cdp();
        cdp.send_raw("Network.clearBrowserCookies", json!({})).await.unwrap();
        let cookie = |(name, value)| json!({ "name": name, "value": value, "url": self.base });
        let cookies: Vec<Value> = visitor.cookies().map(cookie).collect();
        cdp.send_raw("Network.setCookies", json!({ "cookies": cookies })).await.unwrap();
    }

    /// Signs in by the page as anybody whose password is that of all test people.
    pub async fn sign_in(&self, email: &str) {
        self.sign_in_with(email, PASSWORD).await;
    }

    /// Signs in by the page.
    pub async fn sign_in_with(&self, email: &str, password: &str) {
        self.driver.delete_all_cookies().await.unwrap();
        self.goto(web::links::SIGN_IN).await;
        self.fill("E-mail address", email).await;
        self.fill("Password", password).await;
        self.press("Sign in").await;
        assert!(!self.path().await.starts_with(web::links::SIGN_IN), "{email} was not let in");
    }

    /// The first thing a CSS selector finds; waits for it a little.
    pub async fn one(&self, selector: &str) -> WebElement {
        self.driver
            .query(By::Css(selector))
            .wait(PATIENCE, PAUSE)
            .first()
            .await
            .unwrap_or_else(|cause| panic!("no {selector}: {cause}"))
    }

    /// The words of the first thing a CSS selector finds.
    pub async fn text(&self, selector: &str) -> String {
        // the browser's own words: the driver's go through every element and ask how it is styled
        let words = vec![self.one(selector).await.to_json().unwrap()];
        let said = self.driver.execute("return arguments[0].innerText;", words).await.unwrap();
        // cells of a table are parted by tabs
        said.convert::<String>().unwrap().replace('\t', " ")
    }

    /// Types into the field with that label, in place of what stands there; for dates type `2031-09-15`.
    pub async fn fill(&self, label: &str, text: &str) {
        let field = self.field(label).await;
        if field.attr("type").await.unwrap().is_some_and(|kind| kind.starts_with("date")) {
            let set = "arguments[0].value = arguments[1]; arguments[0].dispatchEvent(new Event('change', { bubbles: true }));";
            self.driver.execute(set, vec![field.to_json().unwrap(), json!(text)]).await.unwrap();
            return;
        }
        // all at once, as from the clipboard: key by key is what most of a journey would wait for
        let begin = "const at = arguments[0]; at.scrollIntoView({ block: 'center', behavior: 'instant' }); at.focus();
            if (at.select) at.select(); return at.readOnly || at.disabled || document.activeElement !== at;";
        let shut = self.driver.execute(begin, vec![field.to_json().unwrap()]).await.unwrap();
        assert!(!shut.convert::<bool>().unwrap(), "“{label}” takes no words");
        let cdp = self.driver.cdp();
        match text {
            "" => field.clear().await.unwrap(),
            text => drop(cdp.send_raw("Input.insertText", json!({ "text": text })).await.unwrap()),
        }
    }

    /// Chooses in the list with that label the option with these words.
    pub async fn choose(&self, label: &str, option: &str) {
        let list = self.field(label).await;
        let path = format!(
            "./option[normalize-space()={0}]|./optgroup/option[normalize-space()={0}]",
            quoted(option)
        );
        let option =
            list.find(By::XPath(path)).await.unwrap_or_else(|_| panic!("“{label}” offers no “{option}”"));
        option.click().await.unwrap();
    }

    /// Ticks the box or picks the choice with that label.
    pub async fn tick(&self, label: &str) {
        self.field(label).await.click().await.unwrap();
    }

    /// Chooses files in the field with that label.
    pub async fn attach(&self, label: &str, files: &[PathBuf]) {
        let paths: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
        self.field(label).await.send_keys(paths.join("\n")).await.unwrap();
    }

    /// The field a label is tied to; of labels that begin with these words the shortest.
    pub async fn field(&self, label: &str) -> WebElement {
        let find = "const words = arguments[0];
            const said = l => l.innerText.trim().replace(/\\s+/g, ' ');
            const fit = [...document.querySelectorAll('label')].filter(l => l.control && said(l).startsWith(words));
            fit.sort((a, b) => said(a).length - said(b).length);
            return fit.length ? fit[0].control : null;";
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
        let button = self.one(".menu-button").await;
        if button.is_displayed().await.unwrap() {
            button.click().await.unwrap();
        }
    }

    /// Opens what is folded under these words, unless it is open.
    pub async fn unfold(&self, words: &str) {
        let path = format!("//details[not(@open)]/summary[contains(normalize-space(), {})]", quoted(words));
        if let Ok(summary) = self.driver.query(By::XPath(path)).nowait().first().await {
            summary.scroll_into_view().await.unwrap();
            summary.click().await.unwrap();
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
            let whole = |file: &PathBuf| file.extension().is_some_and(|ending| ending != "crdownload");
            let files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
            if let Some(file) = files.filter(|file| file.is_file()).find(whole) {
                return file;
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
        panic!("“{words}” brought no file");
    }

    async fn click(&self, path: &str, words: &str) {
        let found = self.shown(path).await;
        let Some(found) = found else {
            panic!("nothing to press says “{words}” on {}", self.path().await)
        };
        let mark = "const it = arguments[0]; document.querySelector('main').pageBefore = true;
            return it.tagName === 'A' || it.type === 'submit' && it.form !== null && it.form.checkValidity();";
        let leads_on = self.driver.execute(mark, vec![found.to_json().unwrap()]).await.unwrap();
        let leads_on: bool = leads_on.convert().unwrap();
        found.click().await.unwrap();
        if leads_on {
            self.await_page().await;
        }
    }

    /// The first thing at a path that can be seen, brought into view; waits for it a little.
    async fn shown(&self, path: &str) -> Option<WebElement> {
        let find = "const all = document.evaluate(arguments[0], document, null, XPathResult.ORDERED_NODE_SNAPSHOT_TYPE, null);
            for (let i = 0; i < all.snapshotLength; i++) {
                const it = all.snapshotItem(i);
                if (!it.checkVisibility({ visibilityProperty: true }) || it.getClientRects().length === 0) continue;
                it.scrollIntoView({ block: 'center', behavior: 'instant' });
                return it;
            }
            return null;";
        let begun = std::time::Instant::now();
        while begun.elapsed() < PATIENCE {
            let found = self.driver.execute(find, vec![json!(path)]).await;
            if let Ok(found) = found.and_then(|found| found.element()) {
                return Some(found);
            }
            tokio::time::sleep(PAUSE).await;
        }
        None
    }

    /// Waits until another page, or another answer within it, has come in place of the marked one.
    async fn await_page(&self) {
        for _ in 0..100 {
            let come = "const main = document.querySelector('main');
                return main && !main.pageBefore && document.readyState === 'complete';";
            let come = self.driver.execute(come, Vec::new()).await;
            if come.is_ok_and(|come| come.convert().unwrap_or(false)) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Fails unless this is the page of that heading, everybody can read it, and nothing stands out sideways. The judge of
    /// accessibility is called at a desk; the walk over all pages calls it on a telephone too.
    pub async fn assert_page(&self, heading: &str) {
        let said = self.text("h1").await;
        assert!(said.contains(heading), "{} is “{said}”, not “{heading}”", self.path().await);
        if self.width.load(Ordering::Relaxed) == DESKTOP.0 && self.scripts.load(Ordering::Relaxed) {
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
            let said = self.driver.execute("return document.body.innerText", Vec::new()).await;
            read = said.ok().and_then(|said| said.convert::<String>().ok()).unwrap_or_default();
            if read.contains(words) {
                return;
            }
            tokio::time::sleep(PAUSE).await;
        }
        panic!("“{words}” does not come:\n{read}");
    }

    /// Fails if the page says these words.
    pub async fn assert_silent(&self, words: &str) {
        let said = self.driver.source().await.unwrap();
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

    /// Fails unless axe-core finds nothing wrong; each build of a page is judged once. Contrast, which takes as long as all else
    /// together, is judged on the walk over all pages: the colours are the same everywhere.
    pub async fn assert_accessible(&self) {
        let build: String = self.driver.execute(BUILD, Vec::new()).await.unwrap().convert().unwrap();
        let mark = judged::mark(&("build", build));
        if mark.found_good() {
            return;
        }
        let wrong = self.inaccessible(false).await;
        assert!(wrong.is_empty(), "{}:\n{}", self.path().await, wrong.join("\n"));
        mark.leave();
    }

    /// By how many CSS pixels the page is wider than the window.
    pub async fn overflow(&self) -> i64 {
        let wider = "const e = document.documentElement; return e.scrollWidth - e.clientWidth;";
        self.driver.execute(wider, Vec::new()).await.unwrap().convert().unwrap()
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

/// A driver on a port of its own. It takes one that is free in the one protocol of the internet and gives up when it is not in the
/// other: then it is asked again.
fn start_driver() -> (Driver, String) {
    let mut said = String::new();
    for _ in 0..5 {
        let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .process_group(0)
            .spawn()
            .expect("tests/run.sh installs chromium-driver");
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok);
        let driver = Driver(child);
        for line in lines.by_ref() {
            if let Some((_, port)) = line.split_once("started successfully on port ") {
                let address = format!("http://127.0.0.1:{}", port.trim_end_matches('.'));
                // Whatever else it says must not fill the pipe.
                std::thread::spawn(move || lines.for_each(drop));
                return (driver, address);
            }
            said += &line;
        }
    }
    panic!("chromedriver tells no port: {said}")
}

/// Whether words are said, large or small letters alike: the look of a page raises first letters.
fn contains(said: &str, words: &str) -> bool {
    said.to_lowercase().contains(&words.to_lowercase())
}

/// Words as XPath writes them.
fn quoted(words: &str) -> String {
    if words.contains('\'') { format!("\"{words}\"") } else { format!("'{words}'") }
}
