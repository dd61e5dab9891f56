//! Writing what stands after the question mark of an address.

use std::fmt::Write as _;

/// `name=value&…`, percent-encoded; what is empty is left out.
///
/// ```
/// use borrowed_light::web::query::pairs;
///
/// assert_eq!(pairs([("q", "a & b"), ("after", ""), ("of", "é")]), "q=a%20%26%20b&of=%C3%A9");
/// ```
pub fn pairs<'a>(values: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let mut query = String::new();
    for (name, value) in values.into_iter().filter(|(_, value)| !value.is_empty()) {
        if !query.is_empty() {
            query.push('&');
        }
        query.push_str(name);
        query.push('=');
        for byte in value.bytes() {
            if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
                query.push(char::from(byte));
            } else {
                // Writing to a String cannot fail.
                let _ = write!(query, "%{byte:02X}");
            }
        }
    }
    query
}
