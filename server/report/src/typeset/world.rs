//! The closed room a template works in. No disk, no network, no packages, no clock.
use super::{Files, Template, TypesetError};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Library, LibraryExt, World};

/// More files than one document shows; the typesetter remembers at most 65,535 names for the life of the process.
pub const MOST_FILES: usize = 5_000;
/// What the running template is called in the room.
const MAIN: &str = "main.typ";
/// Where a template finds its values.
const VALUES: &str = "values.json";

/// The fonts every document is set in: those that come with the typesetter, under free licences.
pub static FONTS: LazyLock<Vec<Font>> =
    LazyLock::new(|| typst_assets::fonts().flat_map(|file| Font::iter(Bytes::new(file))).collect());
/// What each font is called and covers.
pub static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));
/// Row headers of tables are still called experimental by the typesetter.
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| {
    LazyHash::new(Library::builder().with_features([Feature::A11yExtras].into_iter().collect()).build())
});

/// Everything a template can reach.
pub struct Room {
    main: Source,
    files: BTreeMap<String, Bytes>,
    today: Datetime,
}

impl Room {
    /// Furnishes the room.
    pub fn new(
        template: &Template,
        values: Vec<u8>,
        files: Files,
        today: Datetime,
    ) -> Result<Self, TypesetError> {
        if files.len() > MOST_FILES {
            return Err(TypesetError::TooManyFiles(files.len()));
        }
        let parts = template.parts.iter().map(|(name, text)| ((*name).to_owned(), Bytes::from_string(*text)));
        let files = files.into_iter().map(|(name, bytes)| (name, Bytes::new(bytes)));
        let values = (VALUES.to_owned(), Bytes::new(values));
        let files =
            parts.chain(files).chain([values]).map(|(name, bytes)| (format!("/{name}"), bytes)).collect();
        let main =
            VirtualPath::new(MAIN).map_err(|_| TypesetError::Template("its name is no path".into()))?;
        let main = RootedPath::new(VirtualRoot::Project, main).intern();
        Ok(Self { main: Source::new(main, template.main.to_owned()), files, today })
    }

    fn bytes(&self, id: FileId) -> FileResult<Bytes> {
        let ours = matches!(id.root(), VirtualRoot::Project);
        let found = ours.then(|| self.files.get(id.vpath().get_with_slash())).flatten();
        found.cloned().ok_or(FileError::AccessDenied)
    }
}

impl World for Room {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            return Ok(self.main.clone());
        }
        let bytes = self.bytes(id)?;
        let text = std::str::from_utf8(&bytes).map_err(|_| FileError::InvalidUtf8)?;
        Ok(Source::new(id, text.to_owned()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.bytes(id)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        Some(self.today)
    }
}
