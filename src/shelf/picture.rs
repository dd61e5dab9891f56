//! Photos taken apart and written anew, so that nothing of what came in goes out again but what
//! one sees.
//!
//! What a file is, its first bytes say, not its name. It is measured before anything is unpacked,
//! unpacked under a limit, turned upright, made smaller and written as a JPEG of our own. Places,
//! times, serial numbers, comments and whatever hangs on behind are left out because nobody copies
//! them.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder as _, ImageError, ImageFormat, ImageReader, Limits};

/// The most bytes that one photo may have: what phones write at their best.
pub const MOST_BYTES: usize = 12 * 1024 * 1024;

/// The longest side that is unpacked, pixels.
pub const LONGEST_SIDE_PX: u32 = 12_000;

/// The most pixels that are unpacked.
pub const MOST_PIXELS: u64 = 50_000_000;

/// The most memory that a decoder may ask for.
const MOST_MEMORY: u64 = 256 * 1024 * 1024;

/// The longer side of the large one, pixels: a scratch still shows, and a hundred of them are some
/// megabytes in every copy of the database.
pub const LARGE_PX: u32 = 1280;

/// The longer side of the small one, pixels.
pub const SMALL_PX: u32 = 320;

/// A photo as it is kept.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture {
    /// The large one, a JPEG.
    pub large: Vec<u8>,
    /// The small one, a JPEG.
    pub small: Vec<u8>,
    /// The large one's width, pixels.
    pub width_px: u32,
    /// The large one's height, pixels.
    pub height_px: u32,
}

impl std::fmt::Debug for Picture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Picture({} × {})", self.width_px, self.height_px)
    }
}

/// Why a file is no photo of ours.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotAPicture {
    /// Neither JPEG nor PNG nor WebP by its first bytes.
    #[error("it is no photo. Photos are JPEG, PNG or WebP files.")]
    Kind,
    /// Too many pixels.
    #[error("it has more than 50 million pixels. Take it with a lower resolution.")]
    TooManyPixels,
    /// Its bytes make no picture.
    #[error("it is damaged or was cut off. Take it again.")]
    Damaged,
}

impl From<ImageError> for NotAPicture {
    fn from(error: ImageError) -> Self {
        match error {
            ImageError::Limits(_) => Self::TooManyPixels,
            ImageError::Unsupported(_) => Self::Kind,
            _ => Self::Damaged,
        }
    }
}

/// Reads a photo and writes it anew. Takes its time and up to 256 MB: never on a thread that serves
/// connections, and one at a time.
///
/// # Errors
/// [`NotAPicture`] for anything that is no JPEG, PNG or WebP of a bearable size.
pub fn read(bytes: &[u8]) -> Result<Picture, NotAPicture> {
    let format = image::guess_format(bytes).map_err(|_| NotAPicture::Kind)?;
    if !matches!(format, ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP) {
        return Err(NotAPicture::Kind);
    }
    if format == ImageFormat::Jpeg && !jpeg_ends(bytes) {
        return Err(NotAPicture::Damaged);
    }
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SIDE_PX);
    limits.max_image_height = Some(LONGEST_SIDE_PX);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder()?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS || decoder.total_bytes() > MOST_MEMORY {
        return Err(NotAPicture::TooManyPixels);
    }
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut image = DynamicImage::from_decoder(decoder)?;
    if width.max(height) > LARGE_PX {
        image = image.thumbnail(LARGE_PX, LARGE_PX);
    }
    image.apply_orientation(orientation);
    let large = on_white(&image);
    let small = if large.width().max(large.height()) > SMALL_PX {
        large.thumbnail(SMALL_PX, SMALL_PX)
    } else {
        large.clone()
    };
    Ok(Picture {
        width_px: large.width(),
        height_px: large.height(),
        small: written(&small, 74)?,
        large: written(&large, 82)?,
    })
}

/// Whether a JPEG goes on to its end mark. The decoder would paint what lacks in grey, and marks in
/// a thumbnail that it carries along don't count (ITU-T T.81, annex B.1.1).
fn jpeg_ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    loop {
        // Between scans come data in which 0xff is always followed by 0x00 or a restart mark.
        let Some(mark) = bytes.get(at..).and_then(|rest| {
            rest.windows(2).position(|two| {
                two[0] == 0xff && !matches!(two[1], 0x00 | 0x01 | 0xd0..=0xd7 | 0xff)
            })
        }) else {
            return false;
        };
        at += mark;
        if bytes.get(at + 1) == Some(&0xd9) {
            return true;
        }
        let Some([high, low]) = bytes.get(at + 2..at + 4) else { return false };
        at += 2 + usize::from(u16::from_be_bytes([*high, *low])).max(2);
    }
}

/// Without transparency, which a JPEG has not.
fn on_white(image: &DynamicImage) -> DynamicImage {
    if !image.color().has_alpha() {
        return DynamicImage::ImageRgb8(image.to_rgb8());
    }
    let seen = image.to_rgba8();
    let flat = image::RgbImage::from_fn(seen.width(), seen.height(), |x, y| {
        let [red, green, blue, alpha] = seen.get_pixel(x, y).0;
        let over = |tone: u8| {
            let (tone, alpha) = (u32::from(tone), u32::from(alpha));
            u8::try_from((tone * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
        };
        image::Rgb([over(red), over(green), over(blue)])
    });
    DynamicImage::ImageRgb8(flat)
}

fn written(image: &DynamicImage, quality: u8) -> Result<Vec<u8>, NotAPicture> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(image)?;
    Ok(bytes)
}

#[cfg(test)]
#[path = "picture_tests.rs"]
pub(crate) mod tests;
