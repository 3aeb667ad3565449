//! A file to text, whatever wrote it: UTF-8, UTF-16, an old Western code page; a saved mail with its parts and its
//! transfer coding; HTML.

use mailparse::{MailHeaderMap, ParsedMail, parse_mail};

use super::html::{looks_like_html, plain_text};

/// Lines of a mail are looked at for its head only so far.
const HEAD: usize = 60;

/// The text of a file.
///
/// # Errors
/// It is no text: a picture, a print file, a document of an office program.
pub fn text_of(bytes: &[u8]) -> Result<String, String> {
    let kinds: [(&[u8], &str); 5] = [
        (b"%PDF", "a PDF file"),
        (b"PK\x03\x04", "a document of an office program, or an archive"),
        (b"\xff\xd8\xff", "a picture"),
        (b"\x89PNG", "a picture"),
        (b"\xd0\xcf\x11\xe0", "a document of an office program"),
    ];
    if let Some((_, kind)) = kinds.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Err(format!(
            "this is {kind}, not text: copy its text into a file, or go through the points with skeg take-in NAME"
        ));
    }
    let text = characters(bytes);
    if text.chars().filter(|sign| *sign == '\0').count() > 0 {
        return Err("this is not text".to_owned());
    }
    let text = if looks_like_mail(&text) { mail_text(text.as_bytes()).unwrap_or(text) } else { uncoded(text) };
    Ok(if looks_like_html(&text) { plain_text(&text) } else { text })
}

/// Characters by the byte order mark, by what fits, else as the Western code page that fits every byte.
fn characters(bytes: &[u8]) -> String {
    let units = |pair: fn([u8; 2]) -> u16, bytes: &[u8]| {
        let all: Vec<u16> = bytes.chunks_exact(2).map(|two| pair([two[0], two[1]])).collect();
        String::from_utf16_lossy(&all)
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => return units(u16::from_le_bytes, rest),
        [0xfe, 0xff, rest @ ..] => return units(u16::from_be_bytes, rest),
        _ => {}
    }
    let zeros = |odd: usize| bytes.iter().skip(odd).step_by(2).filter(|byte| **byte == 0).count();
    if bytes.len() > 8 && zeros(1) * 4 > bytes.len() {
        return units(u16::from_le_bytes, bytes);
    }
    if bytes.len() > 8 && zeros(0) * 4 > bytes.len() {
        return units(u16::from_be_bytes, bytes);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
        Err(_) => bytes.iter().map(|byte| western(*byte)).collect(),
    }
}

/// Code page 1252: Latin-1, with signs where that has control characters (Unicode's mapping table CP1252.TXT).
fn western(byte: u8) -> char {
    const UPPER: [u16; 32] = [
        0x20ac, 0x81, 0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0x8d,
        0x017d, 0x8f, 0x90, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a,
        0x0153, 0x9d, 0x017e, 0x0178,
    ];
    match byte {
        0x80..=0x9f => char::from_u32(u32::from(UPPER[usize::from(byte - 0x80)])).unwrap_or(' '),
        byte => char::from(byte),
    }
}

/// Header lines at the top, one of them about the kind of content or the way it is coded.
fn looks_like_mail(text: &str) -> bool {
    let head = text.lines().take(HEAD).take_while(|line| !line.is_empty());
    let name = |line: &str| line.split_once(':').map(|(name, _)| name.to_ascii_lowercase());
    let names: Vec<String> = head.filter(|line| !line.starts_with([' ', '\t'])).filter_map(name).collect();
    let known = ["content-type", "content-transfer-encoding", "mime-version"];
    names.iter().any(|name| known.contains(&name.as_str())) && names.iter().all(|name| !name.contains(' '))
}

/// The plain part of a mail, else its HTML.
fn mail_text(bytes: &[u8]) -> Option<String> {
    let mail = parse_mail(bytes).ok()?;
    part_of(&mail, "text/plain").or_else(|| part_of(&mail, "text/html"))
}

fn part_of(mail: &ParsedMail<'_>, kind: &str) -> Option<String> {
    if mail.ctype.mimetype == kind && !is_attached(mail) {
        return mail.get_body().ok();
    }
    mail.subparts.iter().find_map(|part| part_of(part, kind))
}

fn is_attached(mail: &ParsedMail<'_>) -> bool {
    mail.headers.get_first_value("Content-Disposition").is_some_and(|value| value.starts_with("attachment"))
}

/// A mail's body saved without its head may still be coded: soft line ends and `=20` give it away.
fn uncoded(text: String) -> String {
    let soft = text.lines().filter(|line| line.ends_with('=')).count();
    let coded = ["=20", "=3D", "=E2=", "=C2=", "=09"].iter().any(|sign| text.contains(sign));
    if !coded || (soft == 0 && !text.contains("=E2=") && !text.contains("=C2=")) {
        return text;
    }
    let whole =
        format!("Content-Type: text/plain; charset=utf-8\nContent-Transfer-Encoding: quoted-printable\n\n{text}");
    mail_text(whole.as_bytes()).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str = "1 gears: [\u{2713}] fine, can\u{2019}t hear it";

    #[test]
    fn text_is_read_in_every_coding() {
        let wide = |text: &str, pair: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(pair).collect::<Vec<u8>>();
        assert_eq!(text_of(LINE.as_bytes()).unwrap(), LINE);
        assert_eq!(text_of(&[b"\xef\xbb\xbf", LINE.as_bytes()].concat()).unwrap(), LINE);
        assert_eq!(text_of(&[b"\xff\xfe".to_vec(), wide(LINE, u16::to_le_bytes)].concat()).unwrap(), LINE);
        assert_eq!(text_of(&[b"\xfe\xff".to_vec(), wide(LINE, u16::to_be_bytes)].concat()).unwrap(), LINE);
        assert_eq!(text_of(&wide(LINE, u16::to_le_bytes)).unwrap(), LINE);
        assert_eq!(
            text_of(b"price 450 \x80, can\x92t, caf\xe9").unwrap(),
            "price 450 \u{20ac}, can\u{2019}t, caf\u{e9}"
        );
    }

    #[test]
    fn mails_are_opened() {
        let plain = "Subject: motor\nMIME-Version: 1.0\nContent-Type: text/plain; charset=utf-8\nContent-Transfer-Encoding: quoted-printable\n\n1 gears: [=E2=9C=93] fine, can=E2=80=99t hear =\nit\n";
        assert_eq!(text_of(plain.as_bytes()).unwrap().trim(), LINE);
        let parts = "Content-Type: multipart/alternative; boundary=\"b\"\n\n--b\nContent-Type: text/html; charset=utf-8\n\n<p>no</p>\n--b\nContent-Type: text/plain; charset=utf-8\nContent-Transfer-Encoding: base64\n\nMSBnZWFyczogW+KckyBdIGZpbmU=\n--b--\n";
        assert!(text_of(parts.as_bytes()).unwrap().contains("1 gears: ["));
        let html = "Content-Type: text/html; charset=utf-8\n\n<html><body><div>1 gears: [x] fine<br>no chips</div></body></html>";
        assert_eq!(text_of(html.as_bytes()).unwrap().trim(), "1 gears: [x] fine\nno chips");
        let bare = "1 gears: [=E2=9C=93] fine, can=E2=80=99t hear=20=\nit";
        assert_eq!(text_of(bare.as_bytes()).unwrap().trim(), LINE);
    }

    #[test]
    fn what_is_no_text_is_told() {
        for bytes in [&b"%PDF-1.7"[..], b"PK\x03\x04abc", b"\xff\xd8\xff\xe0", b"a\0b"] {
            assert!(text_of(bytes).unwrap_err().contains("this is"));
        }
    }
}
