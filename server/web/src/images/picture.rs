//! A photograph as pages show it.
use crate::error::Answer;
use crate::links;
use domain::ids::ImageId;
use media::Variant;
use store::Tx;
use store::finds::Find;
use store::images::{Image, OfRecord};

/// What a page needs to show a photograph.
#[derive(Debug, Clone)]
pub(crate) struct Picture {
    pub id: ImageId,
    pub href: String,
    pub thumb: String,
    pub screen: String,
    pub large: String,
    /// For those who do not see it.
    pub alt: String,
    pub caption: String,
    /// View, light, photographer.
    pub about: String,
    /// The thumb’s sides in pixels.
    pub thumb_px: (i64, i64),
    /// The sides of the print for the screen in pixels.
    pub screen_px: (i64, i64),
}

impl Picture {
    /// The photographs of a find in their order.
    pub(crate) async fn all_of(tx: &mut Tx, find: &Find) -> Answer<Vec<Self>> {
        let images = store::images::list_seen(tx, find).await?;
        Ok(images.iter().map(|image| Self::of(image, &find.number)).collect())
    }

    /// A photograph on the page of that find.
    pub(crate) fn of(image: &Image, number: &str) -> Self {
        let credit =
            if image.credit.is_empty() { String::new() } else { format!("photograph: {}", image.credit) };
        let said = [image.view.clone(), image.light.clone(), credit];
        let about: Vec<String> = said.into_iter().filter(|words| !words.is_empty()).collect();
        let view = if image.view.is_empty() { String::new() } else { format!(", {}", image.view) };
        Self {
            caption: image.caption.clone(),
            about: about.join(", "),
            alt: if image.caption.is_empty() {
                format!("Photograph of {number}{view}")
            } else {
                image.caption.clone()
            },
            ..Self::plain(image.id, (image.width_px, image.height_px))
        }
    }

    /// A photograph beside a record of work on that find.
    pub(crate) fn of_record(image: &OfRecord, number: &str) -> Self {
        Self {
            caption: image.caption.clone(),
            alt: if image.caption.is_empty() {
                format!("Photograph of {number}")
            } else {
                image.caption.clone()
            },
            ..Self::plain(image.image, (image.width_px, image.height_px))
        }
    }

    fn plain(id: ImageId, px: (i64, i64)) -> Self {
        let link = |variant: Variant| links::image(id, variant.name());
        Self {
            id,
            href: links::image_page(id),
            thumb: link(Variant::Thumb),
            screen: link(Variant::Screen),
            large: link(Variant::Large),
            alt: String::new(),
            caption: String::new(),
            about: String::new(),
            thumb_px: fitted(px, Variant::Thumb),
            screen_px: fitted(px, Variant::Screen),
        }
    }
}

/// The sides of a print in pixels; none is larger than the original.
pub fn fitted((width, height): (i64, i64), variant: Variant) -> (i64, i64) {
    let longest = width.max(height).max(1);
    let fit = i64::from(variant.fit_px()).min(longest);
    let side = |px: i64| ((px * fit + longest / 2) / longest).max(1);
    (side(width), side(height))
}
