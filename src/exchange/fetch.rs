//! Asking a weather service, over HTTPS, for what it forecasts: one question, one answer, with limits on both.
//!
//! Built in with the cargo feature `fetch`; without it every question is answered with how to build it in.

use std::time::Duration;

use thiserror::Error;

use crate::quantity::shown;

/// How long and how much is waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patience {
    /// From asking to the end of the answer.
    pub time: Duration,
    /// The longest answer, in bytes. Ten days of a forecast are some 2 kB.
    pub bytes: u64,
}

impl Patience {
    /// Ten seconds and 1 MB.
    pub const USUAL: Self = Self { time: Duration::from_secs(10), bytes: 1_000_000 };
}

/// Why no forecast came. Text from outside is made safe to show.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum FetchError {
    /// This program was built without it.
    #[error(
        "this thumbpot was built without fetching: build it with `cargo build --release --features fetch`, or save the answer to a file and `forecast import FILE`"
    )]
    NotBuiltIn,
    /// Neither HTTPS nor a service on this machine.
    #[error("forecast_url has to begin with https:// (http:// goes for this machine alone, as http://127.0.0.1)")]
    NotSafe,
    /// No address at all.
    #[error("forecast_url is not the address of a service: {0}")]
    NotAnAddress(String),
    /// It could not be reached.
    #[error("the weather service cannot be reached: {0}")]
    Unreachable(String),
    /// It took too long.
    #[error("the weather service did not answer within {} seconds", .0.as_secs_f32())]
    TooSlow(Duration),
    /// It answered with something else than success.
    #[error("the weather service answered with status {0}")]
    Status(u16),
    /// It sent us on.
    #[error("the weather service has moved to '{0}': if you trust that, put it into settings.toml")]
    Moved(String),
    /// The answer is longer than a forecast.
    #[error("the weather service's answer is longer than {} kB: that is no forecast", .0 / 1000)]
    TooLong(u64),
    /// The answer is not text.
    #[error("the weather service's answer is not text (UTF-8)")]
    NotText,
}

/// The address to ask: a template with `{latitude}` and `{longitude}` filled in, in degrees to four places (some ten
/// metres).
///
/// # Errors
/// When it is neither HTTPS nor HTTP to this machine, or no address.
pub fn address(template: &str, latitude: f64, longitude: f64) -> Result<String, FetchError> {
    let place = |degrees: f64| format!("{degrees:.4}");
    let url = template.replace("{latitude}", &place(latitude)).replace("{longitude}", &place(longitude));
    let odd = |c: char| !c.is_ascii_graphic() || matches!(c, '\\' | '{' | '}' | '<' | '>' | '"');
    if url.contains(odd) {
        return Err(FetchError::NotAnAddress(shown(&url)));
    }
    let Some((scheme, rest)) = url.split_once("://") else { return Err(FetchError::NotSafe) };
    let host = rest.split(['/', '?', '#']).next().unwrap_or_default();
    match scheme.to_ascii_lowercase().as_str() {
        "https" => {}
        "http" if is_this_machine(host) => {}
        _ => return Err(FetchError::NotSafe),
    }
    // A name before the host could make one host look like another.
    if host.is_empty() || host.contains('@') { Err(FetchError::NotAnAddress(shown(&url))) } else { Ok(url) }
}

/// True for a host, with or without a port, that never leaves this machine.
fn is_this_machine(host: &str) -> bool {
    let name = host.rsplit_once(':').filter(|(_, port)| port.parse::<u16>().is_ok()).map_or(host, |(name, _)| name);
    matches!(name.to_ascii_lowercase().as_str(), "127.0.0.1" | "localhost" | "[::1]")
}

/// Whether this program was built with fetching.
pub const CAN_FETCH: bool = cfg!(feature = "fetch");

/// Asks an address that [`address`] made, and hands back the answer's text. It blocks for as long as the patience says.
///
/// # Errors
/// When nothing came, or something that is no success, too late, too long, or not text.
#[cfg(not(feature = "fetch"))]
pub fn fetch(_: &str, _: Patience) -> Result<String, FetchError> {
    Err(FetchError::NotBuiltIn)
}

/// Asks an address that [`address`] made, and hands back the answer's text. It blocks for as long as the patience says.
///
/// # Errors
/// When nothing came, or something that is no success, too late, too long, or not text.
#[cfg(feature = "fetch")]
pub fn fetch(url: &str, patience: Patience) -> Result<String, FetchError> {
    use ureq::config::Config;

    let host = url.split_once("://").and_then(|(_, rest)| rest.split(['/', '?', '#']).next()).unwrap_or_default();
    let mut config = Config::builder()
        .user_agent(concat!("thumbpot/", env!("CARGO_PKG_VERSION")))
        .accept("application/json")
        .timeout_global(Some(patience.time))
        .http_status_as_error(false)
        // Where it would lead is for the grower to judge.
        .max_redirects(0);
    if is_this_machine(host) {
        config = config.proxy(None);
    }
    let no_host = || FetchError::Unreachable("no such host, or no network".to_owned());
    let failed = |error: ureq::Error| match error {
        ureq::Error::Timeout(_) => FetchError::TooSlow(patience.time),
        ureq::Error::BodyExceedsLimit(_) => FetchError::TooLong(patience.bytes),
        ureq::Error::Io(error) if error.kind() == std::io::ErrorKind::TimedOut => FetchError::TooSlow(patience.time),
        ureq::Error::HostNotFound => no_host(),
        // The standard library has no kind for it.
        ureq::Error::Io(error) if error.to_string().starts_with("failed to lookup address information") => no_host(),
        other => FetchError::Unreachable(shown(&other.to_string())),
    };
    let mut answer = config.build().new_agent().get(url).call().map_err(failed)?;
    let status = answer.status();
    if status.is_redirection() {
        let to = answer.headers().get("location").map(|to| String::from_utf8_lossy(to.as_bytes()).into_owned());
        return Err(FetchError::Moved(shown(&to.unwrap_or_default())));
    }
    if !status.is_success() {
        return Err(FetchError::Status(status.as_u16()));
    }
    let bytes = answer.body_mut().with_config().limit(patience.bytes).read_to_vec().map_err(failed)?;
    String::from_utf8(bytes).map_err(|_| FetchError::NotText)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_https_leaves_this_machine() {
        let asked = |template: &str| address(template, 51.5, -0.123_456);
        assert_eq!(
            asked("https://weather.example/v1?lat={latitude}&lon={longitude}").unwrap(),
            "https://weather.example/v1?lat=51.5000&lon=-0.1235"
        );
        for kept in ["http://127.0.0.1:8080/a", "http://localhost/a", "http://[::1]:80/", "HTTPS://a.example"] {
            assert!(asked(kept).is_ok(), "{kept}");
        }
        for unsafe_one in [
            "http://weather.example/",
            "file:///etc/passwd",
            "ftp://a.example/",
            "weather.example",
            "http://127.0.0.1.example/",
            "http://localhost.example:80/",
        ] {
            assert_eq!(asked(unsafe_one), Err(FetchError::NotSafe), "{unsafe_one}");
        }
        for odd in
            ["https://", "https://me@a.example/", "http://127.0.0.1\\@a.example/", "https://a b/", "https://a/{x}"]
        {
            assert!(matches!(asked(odd), Err(FetchError::NotAnAddress(_))), "{odd}");
        }
    }

    #[test]
    fn what_came_from_outside_is_safe_to_show() {
        let error = address("https://a\u{1b}[2J", 1.0, 1.0).unwrap_err();
        assert!(!error.to_string().contains('\u{1b}'), "{error}");
        assert!(FetchError::NotBuiltIn.to_string().contains("--features fetch"));
    }
}
