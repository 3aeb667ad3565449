//! Photos for the papers in HTML: scaled down, turned upright, without what a telephone writes into them.
//!
//! A picture is written anew from its points, so that place, time and the telephone's number stay behind. Reading
//! the files is not done here.

use std::collections::BTreeMap;
use std::io::Cursor;

use data_encoding::BASE64;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};

/// The longest side of a photo in a paper, in points.
const LONGEST: u32 = 1200;
/// Quality of the picture that is written, of 100.
const QUALITY: u8 = 80;
/// A picture that would need more memory than this is not opened.
const MEMORY: u64 = 400 << 20;
/// Neither is one with a side longer than this.
const SIDE: u32 = 20_000;

/// A photo ready to stand in a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ready {
    /// The picture as a `data:` address.
    pub address: String,
    pub width: u32,
    pub height: u32,
}

/// What became of each photo, by its path as it was typed.
pub type Photos = BTreeMap<String, Result<Ready, String>>;

/// Reads a photo and makes it ready.
///
/// # Errors
/// It is no picture this program reads, it is damaged, or too large; told as the end of a sentence.
pub fn ready(bytes: &[u8]) -> Result<Ready, String> {
    let upright = upright(bytes)?;
    let (width, height) = (upright.width(), upright.height());
    let small =
        if width.max(height) > LONGEST { upright.resize(LONGEST, LONGEST, FilterType::Triangle) } else { upright };
    let small = small.to_rgb8();
    let mut written = Vec::new();
    JpegEncoder::new_with_quality(&mut written, QUALITY)
        .encode_image(&small)
        .map_err(|problem| format!("it can't be written anew ({problem})"))?;
    Ok(Ready {
        address: format!("data:image/jpeg;base64,{}", BASE64.encode(&written)),
        width: small.width(),
        height: small.height(),
    })
}

/// The picture as it was meant to be seen: a telephone held upright writes it lying and notes that beside.
fn upright(bytes: &[u8]) -> Result<DynamicImage, String> {
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|problem| problem.to_string())?;
    if reader.format().is_none() {
        return Err("it is no picture in JPEG or PNG".to_owned());
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MEMORY);
    limits.max_image_width = Some(SIDE);
    limits.max_image_height = Some(SIDE);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|problem| told(&problem))?;
    let turned = decoder.orientation().map_err(|problem| told(&problem))?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|problem| told(&problem))?;
    picture.apply_orientation(turned);
    Ok(picture)
}

fn told(problem: &image::ImageError) -> String {
    match problem {
        image::ImageError::Limits(_) => "it is too large".to_owned(),
        image::ImageError::Unsupported(_) => "it is no picture in JPEG or PNG".to_owned(),
        _ => "it is damaged".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use image::{ImageFormat, Rgb, RgbImage};

    use super::*;

    /// Left half red, right half blue.
    fn picture(width: u32, height: u32) -> Vec<u8> {
        let colour = |x: u32, _| if x < width / 2 { Rgb([220, 20, 20]) } else { Rgb([20, 20, 220]) };
        let mut bytes = Vec::new();
        RgbImage::from_fn(width, height, colour).write_to(&mut Cursor::new(&mut bytes), ImageFormat::Jpeg).unwrap();
        bytes
    }

    /// The same with an Exif block: how it was held, and where (Exif 2.32: tag 0x0112 orientation, 0x8825 place).
    fn with_exif(jpeg: &[u8], held: u8) -> Vec<u8> {
        let mut exif = b"Exif\0\0MM\0*\0\0\0\x08\0\x02".to_vec();
        exif.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, held, 0, 0]);
        exif.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 0x26, 0, 0, 0, 0]);
        exif.extend(b"WHERE-IT-WAS");
        let length = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
        [&jpeg[..2], &[0xff, 0xe1], &length, &exif, &jpeg[2..]].concat()
    }

    fn opened(ready: &Ready) -> (Vec<u8>, RgbImage) {
        let bytes = BASE64.decode(ready.address.split(',').nth(1).unwrap().as_bytes()).unwrap();
        let image = image::load_from_memory(&bytes).unwrap().to_rgb8();
        (bytes, image)
    }

    #[test]
    fn photos_are_scaled_down_and_never_up() {
        let large = ready(&picture(2400, 1600)).unwrap();
        assert_eq!((large.width, large.height), (1200, 800));
        let small = ready(&picture(40, 30)).unwrap();
        assert_eq!((small.width, small.height), (40, 30));
    }

    #[test]
    fn photos_are_turned_upright_and_lose_where_they_were_taken() {
        // Held a quarter turn to the right: red, which lies at the left, comes to stand on top.
        let ready = ready(&with_exif(&picture(80, 40), 6)).unwrap();
        assert_eq!((ready.width, ready.height), (40, 80));
        let (bytes, image) = opened(&ready);
        assert!(image.get_pixel(20, 10)[0] > 180 && image.get_pixel(20, 70)[2] > 180);
        assert!(!bytes.windows(5).any(|part| part == b"WHERE") && !bytes.windows(4).any(|part| part == b"Exif"));
    }

    #[test]
    fn what_is_no_photo_is_told() {
        assert!(ready(b"hello").unwrap_err().contains("no picture"));
        let whole = picture(300, 300);
        assert!(ready(&whole[..60]).is_err());
        let mut huge = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        huge.extend([0, 1, 0, 0, 0, 1, 0, 0, 8, 2, 0, 0, 0]);
        assert!(ready(&huge).is_err());
    }
}
