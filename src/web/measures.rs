//! Counts and times of what the service does, for whoever watches over it. Nothing personal: no
//! address as it was sent, no name, no number of anybody.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::LazyLock;
use std::time::Duration;

use axum::http::Method;
use prometheus_client::encoding::EncodeLabelSet;
use prometheus_client::encoding::text::{encode_eof, encode_registry};
use prometheus_client::metrics::counter::Counter;
use prometheus_client::metrics::family::Family;
use prometheus_client::metrics::gauge::Gauge;
use prometheus_client::metrics::histogram::Histogram;
use prometheus_client::registry::Registry;

/// Upper ends of the classes of times, in seconds: from half a millisecond to ten seconds.
const CLASSES_S: [f64; 13] =
    [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 10.0];

static MEASURES: LazyLock<Measures> = LazyLock::new(Measures::new);

#[derive(Clone, Debug, Hash, PartialEq, Eq, EncodeLabelSet)]
struct Answered {
    method: String,
    route: String,
    status: u16,
}

#[derive(Clone, Debug, Hash, PartialEq, Eq, EncodeLabelSet)]
struct Place {
    route: String,
}

struct Measures {
    registry: Registry,
    answered: Family<Answered, Counter>,
    seconds: Family<Place, Histogram>,
    searches: Histogram,
}

impl Measures {
    fn new() -> Self {
        let mut registry = Registry::with_prefix("borrowed_light");
        let answered = Family::<Answered, Counter>::default();
        let seconds =
            Family::<Place, Histogram>::new_with_constructor(|| Histogram::new(CLASSES_S));
        let searches = Histogram::new(CLASSES_S);
        registry.register("requests", "Requests that were answered", answered.clone());
        registry.register(
            "request_seconds",
            "Time until the head of the answer was ready",
            seconds.clone(),
        );
        registry.register("search_seconds", "Time that a search for kits took", searches.clone());
        Self { registry, answered, seconds, searches }
    }
}

/// Notes a request that was answered. `route` is the pattern, never the address as it was sent.
pub fn answered(method: &Method, route: &str, status: u16, took: Duration) {
    // Methods are the client's to invent; only those we know become a label.
    let known = [Method::GET, Method::POST, Method::PUT, Method::DELETE, Method::HEAD];
    let method = if known.contains(method) { method.as_str() } else { "other" };
    let counted = Answered { method: method.to_owned(), route: route.to_owned(), status };
    MEASURES.answered.get_or_create(&counted).inc();
    let place = Place { route: route.to_owned() };
    MEASURES.seconds.get_or_create(&place).observe(took.as_secs_f64());
}

/// Notes how long a search for kits took.
pub fn searched(took: Duration) {
    MEASURES.searches.observe(took.as_secs_f64());
}

/// Something that is measured when it is asked for: its name, what it is, and how much.
pub type Standing = (&'static str, &'static str, i64);

#[derive(Clone, Debug, Hash, PartialEq, Eq, EncodeLabelSet)]
struct Host {
    host: String,
}

/// Everything as text in the `OpenMetrics` format.
///
/// # Errors
/// The text could not be written.
pub fn text(standing: &[Standing]) -> Result<String, fmt::Error> {
    let mut now = Registry::with_prefix("borrowed_light");
    for (name, help, value) in standing {
        let gauge: Gauge = Gauge::default();
        gauge.set(*value);
        now.register(*name, *help, gauge);
    }
    written(&now)
}

/// The same for several clubs: what stands is told for each, under the name of its host.
///
/// # Errors
/// The text could not be written.
pub fn text_of_hosts(standing: &[(String, Vec<Standing>)]) -> Result<String, fmt::Error> {
    let mut gauges: BTreeMap<(&str, &str), Family<Host, Gauge>> = BTreeMap::new();
    for (host, standing) in standing {
        for (name, help, value) in standing {
            let label = Host { host: host.clone() };
            gauges.entry((name, help)).or_default().get_or_create(&label).set(*value);
        }
    }
    let mut now = Registry::with_prefix("borrowed_light");
    for ((name, help), gauge) in gauges {
        now.register(name, help, gauge);
    }
    written(&now)
}

fn written(now: &Registry) -> Result<String, fmt::Error> {
    let mut text = String::new();
    encode_registry(&mut text, &MEASURES.registry)?;
    encode_registry(&mut text, now)?;
    encode_eof(&mut text)?;
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_noted_is_told_and_an_invented_method_gets_no_label_of_its_own() {
        let route = "/a-route-of-this-test";
        answered(&Method::GET, route, 200, Duration::from_millis(3));
        answered(&Method::from_bytes(b"INVENTED").unwrap(), route, 405, Duration::from_millis(3));
        searched(Duration::from_millis(30));
        let text = text(&[("letters_waiting", "Letters to be sent", 7)]).unwrap();
        let line = |start: &str| {
            text.lines().find(|line| line.starts_with(start)).unwrap_or_else(|| panic!("{text}"))
        };
        line(&format!(
            "borrowed_light_requests_total{{method=\"GET\",route=\"{route}\",status=\"200\"}} 1"
        ));
        line(&format!("borrowed_light_requests_total{{method=\"other\",route=\"{route}\""));
        line(&format!("borrowed_light_request_seconds_bucket{{le=\"0.005\",route=\"{route}\"}} 2"));
        line("borrowed_light_search_seconds_count");
        line("borrowed_light_letters_waiting 7");
        assert!(text.ends_with("# EOF\n") && !text.contains("INVENTED"));
    }
}
