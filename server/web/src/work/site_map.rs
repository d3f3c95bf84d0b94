//! The sites of spot tests drawn over the photograph they are marked on.
use crate::images::Picture;
use store::images::Image;
use store::work::spot_tests::SpotTest;

/// A photograph with its marks.
pub(crate) struct SiteMap {
    pub picture: Picture,
    pub marks: Vec<Mark>,
}

/// A ring about a site and its number beside it, in pixels of the print for the screen.
pub(crate) struct Mark {
    pub number: usize,
    pub words: String,
    pub x: f64,
    pub y: f64,
    pub r: f64,
    pub label_x: f64,
    pub label_y: f64,
    pub size: f64,
}

/// The radius of a ring as a share of the picture’s longer side.
const RING: f64 = 0.02;

/// One map for each photograph that a standing test is marked on, in the order of the photographs.
pub(crate) fn of(images: &[Image], number: &str, tests: &[SpotTest]) -> Vec<SiteMap> {
    let map = |image: &Image| {
        let picture = Picture::of(image, number);
        let standing = tests.iter().filter(|test| test.row.superseded_at.is_none());
        let on_it = standing.filter_map(|test| {
            let (marked, x, y) = test.spot()?;
            (marked == image.id).then(|| mark(test, (x, y), picture.screen_px))
        });
        let marks: Vec<Mark> = on_it.collect();
        (!marks.is_empty()).then_some(SiteMap { picture, marks })
    };
    images.iter().filter_map(map).collect()
}

#[allow(clippy::cast_precision_loss, reason = "sides of a picture on the screen")]
fn mark(test: &SpotTest, (x_pct, y_pct): (f64, f64), (width, height): (i64, i64)) -> Mark {
    let (width, height) = (width as f64, height as f64);
    let tenth = |value: f64| (value * 10.0).round() / 10.0;
    let (x, y, r) = (x_pct / 100.0 * width, y_pct / 100.0 * height, RING * width.max(height));
    // The number stands up and to the right of the ring, or where there is room.
    let label_x = if x + 4.0 * r < width { x + 2.2 * r } else { x - 2.2 * r };
    let label_y = if y > 3.5 * r { y - 1.6 * r } else { y + 1.6 * r };
    Mark {
        number: test.number,
        words: format!("{}, {}: {}", test.row.site, test.row.mixture, test.row.decision.code()),
        x: tenth(x),
        y: tenth(y),
        r: tenth(r),
        label_x: tenth(label_x),
        label_y: tenth(label_y),
        size: tenth(1.6 * r),
    }
}
