use image::{ImageBuffer, Rgb, RgbImage, Rgba};

use super::*;

/// A picture of which one can tell which way up it is: its upper left quarter is red.
fn chequered(width: u32, height: u32) -> RgbImage {
    ImageBuffer::from_fn(width, height, |x, y| {
        if x < width / 2 && y < height / 2 { Rgb([230, 20, 20]) } else { Rgb([20, 40, 200]) }
    })
}

/// A file of this kind that shows [`chequered`].
pub(crate) fn photo(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    chequered(width, height).write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// What a phone writes in front of a picture: how it was held, and where.
fn with_exif(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    let place = b"51.4779 N 0.0015 W, at home\0";
    tiff.extend([3, 0]);
    let entry = |tag: u16, kind: u16, count: u32, value: u32| {
        let mut entry = tag.to_le_bytes().to_vec();
        entry.extend(kind.to_le_bytes());
        entry.extend(count.to_le_bytes());
        entry.extend(value.to_le_bytes());
        entry
    };
    let after = 8 + 2 + 3 * 12 + 4;
    tiff.extend(entry(0x010e, 2, place.len() as u32, after));
    tiff.extend(entry(0x0112, 3, 1, u32::from(orientation)));
    tiff.extend(entry(0x8825, 4, 1, after));
    tiff.extend([0; 4]);
    tiff.extend(place);
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let mut bytes = jpeg[..2].to_vec();
    bytes.extend([0xff, 0xe1]);
    bytes.extend((segment.len() as u16 + 2).to_be_bytes());
    bytes.extend(segment);
    bytes.extend(&jpeg[2..]);
    bytes
}

fn contains(bytes: &[u8], what: &[u8]) -> bool {
    bytes.windows(what.len()).any(|window| window == what)
}

fn shown(jpeg: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg).unwrap().to_rgb8()
}

fn is_red(pixel: Rgb<u8>) -> bool {
    pixel.0[0] > 150 && pixel.0[2] < 100
}

#[test]
fn photos_of_all_three_kinds_come_out_as_small_and_large_jpegs() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let picture = read(&photo(1600, 1200, format)).unwrap();
        assert_eq!((picture.width_px, picture.height_px), (1280, 960), "{format:?}");
        for (bytes, size) in [(&picture.large, (1280, 960)), (&picture.small, (320, 240))] {
            assert!(bytes.starts_with(b"\xff\xd8\xff"));
            let seen = shown(bytes);
            assert_eq!(seen.dimensions(), size);
            assert!(is_red(*seen.get_pixel(5, 5)));
            assert!(!is_red(*seen.get_pixel(size.0 - 5, size.1 - 5)));
        }
    }
    let tiny = read(&photo(3, 2, ImageFormat::Png)).unwrap();
    assert_eq!((tiny.width_px, tiny.height_px), (3, 2), "nothing is blown up");
}

#[test]
fn a_photo_is_turned_upright_and_tells_no_more_where_it_was_taken() {
    // EXIF 2.3, section 4.6.4: where row 0 and column 0 of the file stand in the picture.
    let upper_left_goes_to = [
        (1, (0, 0)),
        (2, (1, 0)),
        (3, (1, 1)),
        (4, (0, 1)),
        (5, (0, 0)),
        (6, (1, 0)),
        (7, (1, 1)),
        (8, (0, 1)),
    ];
    let jpeg = photo(80, 40, ImageFormat::Jpeg);
    for (orientation, corner) in upper_left_goes_to {
        let told = with_exif(&jpeg, orientation);
        assert!(contains(&told, b"51.4779"), "the sample tells where it was taken");
        let picture = read(&told).unwrap();
        let lies = orientation >= 5;
        let size = if lies { (40, 80) } else { (80, 40) };
        let seen = shown(&picture.large);
        assert_eq!(seen.dimensions(), size, "{orientation}");
        for (x, y) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
            let place = (size.0 / 4 + x * size.0 / 2, size.1 / 4 + y * size.1 / 2);
            let red = is_red(*seen.get_pixel(place.0, place.1));
            assert_eq!(red, (x, y) == corner, "{orientation}: {x} {y}");
        }
        for bytes in [&picture.large, &picture.small] {
            for trace in [&b"Exif"[..], b"51.4779", b"at home", b"II*", b"\xff\xe1"] {
                assert!(!contains(bytes, trace), "{orientation}: {trace:?}");
            }
        }
    }
}

#[test]
fn what_hangs_on_a_photo_or_hides_in_it_does_not_come_out() {
    let mut jpeg = photo(60, 60, ImageFormat::Jpeg);
    let script = b"<script>alert('here')</script>";
    let mut comment = vec![0xff, 0xfe];
    comment.extend((script.len() as u16 + 2).to_be_bytes());
    comment.extend(script);
    jpeg.splice(2..2, comment);
    jpeg.extend(b"PK\x03\x04 a zip behind it <html>");
    let picture = read(&jpeg).unwrap();
    for trace in [&script[..], b"PK\x03\x04", b"<html>"] {
        assert!(contains(&jpeg, trace));
        assert!(!contains(&picture.large, trace) && !contains(&picture.small, trace));
    }
}

#[test]
fn what_is_no_photo_is_told_by_its_content_whatever_it_is_called() {
    let svg = b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>";
    let html = b"<!doctype html><script>alert(1)</script>";
    let gif = b"GIF89a\x01\0\x01\0\x80\0\0\0\0\0\xff\xff\xff!\xf9\x04\0\0\0\0\0,\0\0\0\0\x01\0\x01\0\0\x02\x02D\x01\0;";
    for other in [&svg[..], html, gif, b"PK\x03\x04zip", b"%PDF-1.7", b"BM", b"", b"\xff\xd8"] {
        assert_eq!(read(other), Err(NotAPicture::Kind), "{:?}", &other[..other.len().min(8)]);
    }
    // The right first bytes alone make no photo.
    for head in [&b"\xff\xd8\xff\xe0\0\x10JFIF\0"[..], b"\x89PNG\r\n\x1a\n", b"RIFF\x04\0\0\0WEBP"]
    {
        assert_eq!(read(head), Err(NotAPicture::Damaged), "{head:?}");
    }
}

#[test]
fn a_photo_that_was_cut_off_is_refused() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        // Noise, so that the data go on to the end of the file.
        let mut state = 7_u32;
        let noise = RgbImage::from_fn(64, 64, |_, _| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            Rgb([(state >> 8) as u8, (state >> 16) as u8, (state >> 24) as u8])
        });
        let mut bytes = Cursor::new(Vec::new());
        noise.write_to(&mut bytes, format).unwrap();
        let bytes = bytes.into_inner();
        assert!(read(&bytes).is_ok(), "{format:?}");
        assert_eq!(read(&bytes[..bytes.len() / 2]), Err(NotAPicture::Damaged), "{format:?}");
    }
}

/// A PNG that says it has so many pixels and holds hardly any data.
pub(crate) fn png_that_claims(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = photo(2, 2, ImageFormat::Png);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let crc = crc32(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&crc.to_be_bytes());
    bytes
}

/// PNG (third edition), annex D.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 }
        })
    })
}

/// A JPEG whose header says it has so many pixels.
fn jpeg_that_claims(width: u16, height: u16) -> Vec<u8> {
    let mut bytes = photo(16, 16, ImageFormat::Jpeg);
    let frame = bytes.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    bytes[frame + 5..frame + 7].copy_from_slice(&height.to_be_bytes());
    bytes[frame + 7..frame + 9].copy_from_slice(&width.to_be_bytes());
    bytes
}

#[test]
fn a_bomb_is_refused_before_it_is_unpacked() {
    let before = std::time::Instant::now();
    for bomb in [
        png_that_claims(30_000, 30_000),
        png_that_claims(12_000, 12_000),
        png_that_claims(u32::MAX >> 1, u32::MAX >> 1),
        jpeg_that_claims(30_000, 30_000),
        jpeg_that_claims(65_500, 65_500),
    ] {
        assert_eq!(read(&bomb), Err(NotAPicture::TooManyPixels));
    }
    assert!(before.elapsed().as_secs() < 2, "it was unpacked");
    // The sample is a good one but for its size.
    assert!(read(&png_that_claims(2, 2)).is_ok());
}

#[test]
fn of_a_moving_picture_the_first_one_is_kept() {
    // An animated PNG as far as it matters: the chunk that says so, and one frame.
    let mut png = photo(8, 8, ImageFormat::Png);
    let mut chunk = b"acTL\0\0\0\x02\0\0\0\0".to_vec();
    let crc = crc32(&chunk);
    chunk.extend(crc.to_be_bytes());
    let mut whole = 8_u32.to_be_bytes().to_vec();
    whole.extend(chunk);
    png.splice(33..33, whole);
    let picture = read(&png).unwrap();
    assert_eq!(shown(&picture.large).dimensions(), (8, 8));
    assert!(!contains(&picture.large, b"acTL"));
}

/// An animated WebP (RFC 9649, section 2.7) that says its canvas is so large.
fn moving_webp((width, height): (u32, u32), frames: &[RgbImage]) -> Vec<u8> {
    let three = |number: u32| number.to_le_bytes()[..3].to_vec();
    let chunk = |name: &[u8; 4], body: &[u8]| {
        let mut chunk = name.to_vec();
        chunk.extend((body.len() as u32).to_le_bytes());
        chunk.extend(body);
        chunk.resize(chunk.len() + body.len() % 2, 0);
        chunk
    };
    let size = |width: u32, height: u32| [three(width - 1), three(height - 1)].concat();
    let mut body = b"WEBP".to_vec();
    body.extend(chunk(b"VP8X", &[vec![2, 0, 0, 0], size(width, height)].concat()));
    body.extend(chunk(b"ANIM", &[255, 255, 255, 255, 0, 0]));
    for frame in frames {
        let mut still = Cursor::new(Vec::new());
        frame.write_to(&mut still, ImageFormat::WebP).unwrap();
        let place = [three(0), three(0), size(frame.width(), frame.height()), three(100)].concat();
        let frame = [place, vec![0], still.into_inner()[12..].to_vec()].concat();
        body.extend(chunk(b"ANMF", &frame));
    }
    [b"RIFF".to_vec(), (body.len() as u32).to_le_bytes().to_vec(), body].concat()
}

#[test]
fn of_a_moving_webp_the_first_one_is_kept_and_its_size_is_asked_first() {
    let red = RgbImage::from_pixel(16, 12, Rgb([230, 20, 20]));
    let blue = RgbImage::from_pixel(16, 12, Rgb([20, 40, 200]));
    let picture = read(&moving_webp((16, 12), &[red.clone(), blue.clone()])).unwrap();
    let seen = shown(&picture.large);
    assert_eq!(seen.dimensions(), (16, 12));
    assert!(seen.pixels().all(|pixel| is_red(*pixel)));
    for trace in [&b"ANIM"[..], b"ANMF", b"WEBP"] {
        assert!(!contains(&picture.large, trace) && !contains(&picture.small, trace));
    }
    // Frames beyond the first cost nothing, however many there are.
    assert_eq!(read(&moving_webp((16, 12), &vec![red.clone(); 2000])), Ok(picture));
    let bomb = moving_webp((16_000, 16_000), std::slice::from_ref(&red));
    assert_eq!(read(&bomb), Err(NotAPicture::TooManyPixels));
    let outside = moving_webp((8, 6), std::slice::from_ref(&red));
    assert_eq!(read(&outside), Err(NotAPicture::Damaged), "a frame larger than its canvas");
    let whole = moving_webp((16, 12), &[red, blue]);
    assert_eq!(read(&whole[..44]), Err(NotAPicture::Damaged), "no frame at all");
}

#[test]
fn what_is_transparent_lies_on_white() {
    let clear = image::RgbaImage::from_pixel(8, 8, Rgba([0, 0, 0, 0]));
    let mut bytes = Cursor::new(Vec::new());
    clear.write_to(&mut bytes, ImageFormat::Png).unwrap();
    let picture = read(bytes.get_ref()).unwrap();
    assert!(shown(&picture.large).pixels().all(|pixel| pixel.0.iter().all(|tone| *tone > 250)));
}
