//! Photographs going up while others read.
use crate::Failure;
use crate::client::Client;
use image::{ImageEncoder, Rgb, RgbImage};
use reqwest::multipart::{Form, Part};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// A camera's picture, in pixels.
const SIZE: (u32, u32) = (4000, 3000);

/// Uploads that go on, one after the other, until they are told to end.
pub struct Uploads {
    end: Arc<AtomicBool>,
    count: Arc<AtomicUsize>,
    task: tokio::task::JoinHandle<Result<(), Failure>>,
}

impl Uploads {
    /// Begins sending photographs of one find.
    pub fn begin(client: Client, find: String) -> Uploads {
        let (end, count) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicUsize::new(0)));
        let (ending, counting) = (end.clone(), count.clone());
        let task = tokio::spawn(async move {
            while !ending.load(Ordering::Relaxed) {
                let nth = counting.load(Ordering::Relaxed);
                send(&client, &find, nth).await?;
                counting.fetch_add(1, Ordering::Relaxed);
            }
            Ok(())
        });
        Uploads { end, count, task }
    }

    /// Waits for the last; how many went up.
    pub async fn end(self) -> Result<usize, Failure> {
        self.end.store(true, Ordering::Relaxed);
        self.task.await??;
        Ok(self.count.load(Ordering::Relaxed))
    }
}

async fn send(client: &Client, find: &str, nth: usize) -> Result<(), Failure> {
    let path = format!("{find}/images");
    let page = client.read(&path).await?;
    let (token, submission) = (hidden(&page, "_token")?, hidden(&page, "submission")?);
    let bytes = tokio::task::spawn_blocking(move || photograph(nth as u8)).await??;
    let file = Part::bytes(bytes).file_name(format!("{nth}.jpg")).mime_str("image/jpeg")?;
    let form = Form::new().text("_token", token).text("submission", submission).part("file", file);
    let reply = client.upload(&path, form).await?;
    if reply.status != 303 {
        return Err(format!("a photograph was answered with {}", reply.status).into());
    }
    Ok(())
}

/// What a hidden field of the page's upload form holds.
fn hidden(page: &str, name: &str) -> Result<String, Failure> {
    let form = page.split("data-upload=").nth(1).ok_or("no upload form")?;
    let value =
        form.split(&format!("name=\"{name}\" value=\"")).nth(1).and_then(|rest| rest.split('"').next());
    Ok(value.ok_or_else(|| format!("no {name}"))?.to_owned())
}

/// Each a little different, so that none is known already.
fn photograph(nth: u8) -> Result<Vec<u8>, Failure> {
    let shade = |x: u32, y: u32| (x / 16 + y / 12) as u8;
    let picture =
        RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| Rgb([shade(x, y), shade(y, x).wrapping_mul(3), nth]));
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 85).write_image(
        &picture,
        SIZE.0,
        SIZE.1,
        image::ExtendedColorType::Rgb8,
    )?;
    Ok(bytes)
}
