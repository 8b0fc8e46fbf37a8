//! Who may ask for what: only pages this server sent, only under its own names, and phones that were let in.
//!
//! Over plain http on a local network others can listen in, and a browser gives the page no wake lock; the
//! page says so. The pairing code keeps strangers from writing, not from listening.

use axum::body::Body;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use std::net::SocketAddr;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Wrong codes before pairing closes until the next start. chosen: a mistyped code or two, not a search.
const MOST_TRIES: u32 = 20;
/// The cookie of a phone that was let in.
const COOKIE: &str = "maskwright-paired";

/// Names, secrets and the count of wrong codes.
#[derive(Debug)]
pub(crate) struct Guard {
    /// `host:port` under which the server may be addressed.
    pub(crate) hosts: Vec<String>,
    /// Sent with every page, asked of every write.
    pub(crate) token: String,
    /// What a phone shows to be let in, once.
    code: Mutex<String>,
    /// What it carries from then on.
    cookie: String,
    wrong: AtomicU32,
}

impl Guard {
    /// Fresh secrets for the server at `port`; `lan` is its address on the local network.
    ///
    /// # Errors
    /// If the system gives no random bytes.
    pub(crate) fn new(port: u16, lan: Option<std::net::IpAddr>) -> Result<Guard, String> {
        let mut hosts: Vec<String> =
            ["127.0.0.1", "localhost", "[::1]"].map(|h| format!("{h}:{port}")).into();
        hosts.extend(lan.map(|ip| SocketAddr::new(ip, port).to_string()));
        let token = secret(16)?;
        let cookie = secret(16)?;
        let code = Mutex::new(secret(8)?);
        Ok(Guard { hosts, token, code, cookie, wrong: AtomicU32::new(0) })
    }

    /// The code that lets the next phone in.
    pub(crate) fn code(&self) -> String {
        self.code.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The cookie for a right code, which is then used up; `None` for a wrong one, or after too many.
    pub(crate) fn pair(&self, code: &str) -> Option<String> {
        if MOST_TRIES <= self.wrong.load(Ordering::Relaxed) {
            return None;
        }
        let mut right = self.code.lock().unwrap_or_else(PoisonError::into_inner);
        if !same(code, &right) {
            self.wrong.fetch_add(1, Ordering::Relaxed);
            return None;
        }
        // Without a fresh code nobody is let in: a used one must not work again.
        *right = secret(8).ok()?;
        Some(format!("{COOKIE}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie))
    }

    fn paired(&self, headers: &HeaderMap) -> bool {
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|v| v.to_str().ok());
        let mut pairs = cookies.flat_map(|c| c.split(';')).filter_map(|c| c.trim().split_once('='));
        pairs.any(|(name, value)| name == COOKIE && same(value, &self.cookie))
    }

    fn allows(
        &self,
        from: SocketAddr,
        method: &Method,
        path: &str,
        headers: &HeaderMap,
    ) -> Result<(), Refusal> {
        let text = |name| headers.get(name).and_then(|v: &HeaderValue| v.to_str().ok());
        let host = text(header::HOST).unwrap_or_default();
        if !self.hosts.iter().any(|h| h == host) {
            return Err(Refusal::Host);
        }
        if let Some(origin) = text(header::ORIGIN)
            && origin != format!("http://{host}")
        {
            return Err(Refusal::Origin);
        }
        // The small page that asks for the code needs its looks.
        let open = path == "/pair" || path == "/style.css" || path.starts_with("/faces/");
        if !from.ip().is_loopback() && !open && !self.paired(headers) {
            return Err(Refusal::Unpaired);
        }
        if method == Method::GET || method == Method::HEAD {
            return Ok(());
        }
        if text(header::CONTENT_TYPE).is_none_or(|t| t.split(';').next() != Some("application/json")) {
            return Err(Refusal::ContentType);
        }
        if !headers
            .get("x-maskwright-token")
            .and_then(|v| v.to_str().ok())
            .is_some_and(|t| same(t, &self.token))
        {
            return Err(Refusal::Token);
        }
        Ok(())
    }
}

/// Why a request is turned away.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Refusal {
    Host,
    Origin,
    Unpaired,
    ContentType,
    Token,
}

impl Refusal {
    fn words(self) -> (StatusCode, &'static str) {
        match self {
            Refusal::Host => (StatusCode::MISDIRECTED_REQUEST, "this server does not go by that name"),
            Refusal::Origin => (StatusCode::FORBIDDEN, "that page is not from this server"),
            Refusal::Unpaired => (
                StatusCode::UNAUTHORIZED,
                "this phone is not paired: read the code from the screen the server was started on",
            ),
            Refusal::ContentType => (StatusCode::UNSUPPORTED_MEDIA_TYPE, "application/json was expected"),
            Refusal::Token => (StatusCode::FORBIDDEN, "the page is from an earlier start: load it again"),
        }
    }
}

/// Turns away what is not allowed, and sets the headers every answer carries.
pub(crate) async fn guard(
    State(guard): State<Arc<Guard>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    request: Request,
    next: Next,
) -> Response {
    let allowed = guard.allows(from, request.method(), request.uri().path(), request.headers());
    let mut response: Response<Body> = match allowed {
        Ok(()) => next.run(request).await,
        Err(Refusal::Unpaired) if request.uri().path() == "/" => Redirect::to("/pair").into_response(),
        Err(refusal) => refusal.words().into_response(),
    };
    let headers = response.headers_mut();
    let mut set = |name: &'static str, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    // Styles set on elements of a drawing need 'unsafe-inline' for styles; scripts never do.
    set(
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; \
         connect-src 'self'; font-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; \
         frame-ancestors 'none'",
    );
    set("x-content-type-options", "nosniff");
    set("referrer-policy", "no-referrer");
    // Over plain http from elsewhere a browser ignores this one, and says so in its log.
    if from.ip().is_loopback() {
        set("cross-origin-opener-policy", "same-origin");
    }
    set("cross-origin-resource-policy", "same-origin");
    set("cache-control", "no-store");
    response
}

/// Random text of so many bytes, in letters and figures that are not taken for each other.
fn secret(bytes: usize) -> Result<String, String> {
    const SIGNS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
    let mut raw = vec![0; bytes];
    getrandom::fill(&mut raw).map_err(|e| format!("the system gives no random numbers: {e}"))?;
    Ok(raw.iter().map(|b| char::from(SIGNS[usize::from(b % 32)])).collect())
}

/// True if equal, in a time that does not tell how much of it is.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |d, (a, b)| d | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        pairs.iter().map(|(k, v)| (k.parse().unwrap(), v.parse().unwrap())).collect()
    }

    #[test]
    fn only_its_own_pages_write() {
        let g = Guard::new(8730, Some([192, 168, 7, 9].into())).unwrap();
        let here: SocketAddr = ([127, 0, 0, 1], 50000).into();
        let there: SocketAddr = ([192, 168, 7, 20], 50000).into();
        let host = ("host", "127.0.0.1:8730");
        let json = ("content-type", "application/json");
        let token = ("x-maskwright-token", g.token.as_str());
        let post = |from, h: &[(&'static str, &str)]| g.allows(from, &Method::POST, "/api/jobs", &headers(h));
        assert_eq!(post(here, &[host, json, token]), Ok(()));
        assert_eq!(post(here, &[("host", "evil.example"), json, token]), Err(Refusal::Host));
        assert_eq!(post(here, &[host, json, token, ("origin", "http://evil.example")]), Err(Refusal::Origin));
        assert_eq!(post(here, &[host, token]), Err(Refusal::ContentType));
        assert_eq!(post(here, &[host, json]), Err(Refusal::Token));
        let lan = ("host", "192.168.7.9:8730");
        assert_eq!(post(there, &[lan, json, token]), Err(Refusal::Unpaired));
        let cookie = g.pair(&g.code()).unwrap();
        let cookie = ("cookie", cookie.split(';').next().unwrap());
        assert_eq!(post(there, &[lan, json, token, cookie]), Ok(()));
    }

    #[test]
    fn a_code_lets_one_phone_in() {
        let g = Guard::new(1, None).unwrap();
        let code = g.code();
        assert!(g.pair(&code).is_some());
        assert_eq!(g.pair(&code), None);
        assert!(g.pair(&g.code()).is_some());
    }

    #[test]
    fn a_code_cannot_be_searched_for() {
        let g = Guard::new(1, None).unwrap();
        for _ in 0..MOST_TRIES {
            assert_eq!(g.pair("no"), None);
        }
        assert_eq!(g.pair(&g.code()), None);
    }
}
