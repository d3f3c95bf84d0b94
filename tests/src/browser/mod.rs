//! A real browser before the application: Chromium, headless, driven over WebDriver.
mod eyes;
mod hands;

use crate::support::{Lab, PASSWORD, Visitor};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::process::{Child, Command, Stdio};
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

    /// What a function returns in the page that is open, once there is something; nothing when patience is over.
    async fn await_answer<T: DeserializeOwned>(&self, function: &str, given: &[Value]) -> Option<T> {
        let begun = std::time::Instant::now();
        loop {
            // while another page comes it may fail
            let answer = self.ask::<Option<T>>(function, given).await;
            if begun.elapsed() > PATIENCE || matches!(answer, Ok(Some(_))) {
                return answer.unwrap();
            }
            tokio::time::sleep(PAUSE).await;
        }
    }

    /// What a function of JavaScript returns in the page that is open. The browser itself is asked: the driver's own way takes
    /// several messages for each of ours.
    async fn ask<T: DeserializeOwned>(&self, function: &str, given: &[Value]) -> Result<T, String> {
        let given: Vec<String> = given.iter().map(Value::to_string).collect();
        let expression = format!("({function})({})", given.join(","));
        let wish = json!({ "expression": expression, "returnByValue": true });
        let told = self.driver.cdp().send_raw("Runtime.evaluate", wish).await;
        let mut told: Value = told.map_err(|cause| cause.to_string())?;
        if let Some(wrong) = told.get("exceptionDetails") {
            return Err(wrong.to_string());
        }
        serde_json::from_value(told["result"]["value"].take()).map_err(|cause| cause.to_string())
    }

    /// Tells the browser something that has no answer.
    async fn command(&self, name: &'static str, given: Value) {
        self.driver.cdp().send_raw(name, given).await.unwrap();
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
