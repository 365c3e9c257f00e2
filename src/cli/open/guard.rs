//! Who may talk to the page: only a browser on this machine that was given the token, from the page itself.

use hyper::{HeaderMap, Method, header};

/// Letters of a token: 128 random bits.
const TOKEN_BYTES: usize = 16;

/// The names and the token under which the page answers.
pub(super) struct Guard {
    port: u16,
    token: String,
}

/// Why a request is turned away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It names another host: a name of the web that leads here.
    Host,
    /// It comes from another page.
    Origin,
    /// It does not bear the token.
    Token,
    /// It is no JSON.
    Kind,
}

impl Guard {
    /// A guard with a new token.
    ///
    /// # Errors
    /// A system that gives no random numbers.
    pub fn new(port: u16) -> std::io::Result<Self> {
        let mut bytes = [0_u8; TOKEN_BYTES];
        getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
        let token = bytes.iter().fold(String::new(), |mut token, byte| {
            token.push_str(&format!("{byte:02x}"));
            token
        });
        Ok(Self { port, token })
    }

    /// The address of the page, with its token.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/{}/", self.port, self.token)
    }

    /// The part of a path behind the token, where a request may be answered.
    ///
    /// # Errors
    /// Why it may not.
    pub fn pass<'p>(&self, method: &Method, path: &'p str, headers: &HeaderMap) -> Result<&'p str, Refusal> {
        let text = |name: header::HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
        let hosts = ["127.0.0.1", "localhost"].map(|name| format!("{name}:{}", self.port));
        let mut named = headers.get_all(header::HOST).iter();
        let host = named
            .next()
            .and_then(|value| value.to_str().ok())
            .unwrap_or_default();
        if named.next().is_some() || !hosts.iter().any(|own| own == host) {
            return Err(Refusal::Host);
        }
        let own_page = |origin: &str| hosts.iter().any(|host| origin == format!("http://{host}"));
        let is_post = method == Method::POST;
        match text(header::ORIGIN) {
            Some(origin) if !own_page(origin) => return Err(Refusal::Origin),
            // A browser names the page that a request of this sort comes from.
            None if is_post => return Err(Refusal::Origin),
            _ => {}
        }
        let (_, rest) = path.split_once('/').ok_or(Refusal::Token)?;
        let (token, rest) = rest.split_once('/').ok_or(Refusal::Token)?;
        if !same(token.as_bytes(), self.token.as_bytes()) {
            return Err(Refusal::Token);
        }
        if is_post && text(header::CONTENT_TYPE) != Some("application/json") {
            return Err(Refusal::Kind);
        }
        Ok(rest)
    }
}

/// Whether two texts are the same, in a time that does not tell how far they are.
fn same(one: &[u8], other: &[u8]) -> bool {
    let differ = one
        .iter()
        .zip(other)
        .fold(0, |differ, (one, other)| differ | (one ^ other));
    one.len() == other.len() && differ == 0
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn headers(all: &[(&'static str, &str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in all {
            headers.append(*name, value.parse().unwrap());
        }
        headers
    }

    #[test]
    fn only_the_page_itself_passes() {
        let guard = Guard::new(4711).unwrap();
        let other = Guard::new(4711).unwrap();
        let path = format!("/{}/turn", guard.token);
        let own = ("host", "127.0.0.1:4711");
        let origin = ("origin", "http://127.0.0.1:4711");
        let kind = ("content-type", "application/json");
        let post = |path: &str, all: &[(&'static str, &str)]| {
            guard.pass(&Method::POST, path, &headers(all)).map(str::to_owned)
        };
        assert_eq!(post(&path, &[own, origin, kind]), Ok("turn".to_owned()));
        // A name of the web that leads to this machine.
        assert_eq!(
            post(&path, &[("host", "evil.example:4711"), origin, kind]),
            Err(Refusal::Host)
        );
        assert_eq!(
            post(&path, &[("host", "127.0.0.1:80"), origin, kind]),
            Err(Refusal::Host)
        );
        assert_eq!(post(&path, &[own, own, origin, kind]), Err(Refusal::Host));
        assert_eq!(post(&path, &[origin, kind]), Err(Refusal::Host));
        for from in [
            "http://evil.example",
            "http://127.0.0.1:80",
            "null",
            "https://127.0.0.1:4711",
        ] {
            assert_eq!(
                post(&path, &[own, ("origin", from), kind]),
                Err(Refusal::Origin),
                "{from}"
            );
        }
        assert_eq!(post(&path, &[own, kind]), Err(Refusal::Origin));
        assert_eq!(
            post(&path, &[own, origin, ("content-type", "text/plain")]),
            Err(Refusal::Kind)
        );
        let short = format!("/{}/turn", &guard.token[1..]);
        for wrong in [
            "/",
            "/turn",
            "//turn",
            short.as_str(),
            format!("/{}/turn", other.token).as_str(),
        ] {
            assert_eq!(post(wrong, &[own, origin, kind]), Err(Refusal::Token), "{wrong}");
        }
        let got = guard
            .pass(&Method::GET, &path, &headers(&[("host", "localhost:4711")]))
            .map(str::to_owned);
        assert_eq!(got, Ok("turn".to_owned()));
        assert_eq!(
            guard.pass(
                &Method::GET,
                &path,
                &headers(&[own, ("origin", "http://evil.example")])
            ),
            Err(Refusal::Origin)
        );
    }

    #[test]
    fn tokens_differ() {
        let tokens: std::collections::HashSet<String> =
            (0..50).map(|_| Guard::new(1).unwrap().token).collect();
        assert_eq!(tokens.len(), 50);
        assert!(tokens.iter().all(|token| token.len() == 2 * TOKEN_BYTES));
    }
}
