//! Every page of the demo as every one of its people sees it: links lead somewhere, the HTML is sound, nothing keeps anybody
//! from reading it, on a telephone, at a desk, and without scripts.
mod browser;
mod crawl;
mod markup;
