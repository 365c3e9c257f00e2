//! The page's server: few paths, small requests, short waits.

use std::{cell::RefCell, convert::Infallible, rc::Rc, time::Duration};

use http_body_util::{BodyExt, Full, LengthLimitError, Limited};
use hyper::{
    Method, Request, Response, StatusCode,
    body::{Bytes, Incoming},
    header,
    server::conn::http1,
    service::service_fn,
};
use hyper_util::rt::{TokioIo, TokioTimer};
use serde_json::json;
use tokio::net::TcpListener;

use super::{
    guard::{Guard, Refusal},
    session::{Answer, Session},
};
use crate::page::{SCRIPT, STYLE, shell};

/// The largest request, bytes: the largest text the page takes, however it is escaped.
const MOST_BYTES: usize = 50_000_000;
/// Connections at once, at most.
const MOST_CONNECTIONS: usize = 32;
/// How long a client may take to say what it wants, and to send it.
const HEAD_WITHIN: Duration = Duration::from_secs(10);
const BODY_WITHIN: Duration = Duration::from_secs(30);

/// Nothing from elsewhere, nothing inline, no frame.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; \
                      base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// What all requests share.
struct Shared {
    guard: Guard,
    session: RefCell<Session>,
    pages: RefCell<u64>,
}

/// Answers until the program is ended.
pub(super) async fn serve(listener: TcpListener, guard: Guard, session: Session) -> std::io::Result<()> {
    let shared = Rc::new(Shared {
        guard,
        session: RefCell::new(session),
        pages: RefCell::new(0),
    });
    let open = Rc::new(());
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, or a client that is gone again.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        if Rc::strong_count(&open) > MOST_CONNECTIONS {
            continue;
        }
        let (shared, open) = (shared.clone(), open.clone());
        tokio::task::spawn_local(async move {
            let service = service_fn(|request| {
                let shared = shared.clone();
                async move { Ok::<_, Infallible>(shared.answer(request).await) }
            });
            let mut connection = http1::Builder::new();
            connection
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD_WITHIN);
            drop(connection.serve_connection(TokioIo::new(stream), service).await);
            drop(open);
        });
    }
}

impl Shared {
    async fn answer(&self, request: Request<Incoming>) -> Response<Full<Bytes>> {
        let path = request.uri().path().to_owned();
        let rest = match self.guard.pass(request.method(), &path, request.headers()) {
            Ok(rest) => rest.to_owned(),
            Err(refusal) => return refused(refusal),
        };
        match (request.method(), rest.as_str()) {
            (&Method::GET, "") => {
                let page = {
                    let mut pages = self.pages.borrow_mut();
                    *pages += 1;
                    *pages
                };
                let html = shell("server", &page.to_string(), None).into_string();
                sent(StatusCode::OK, "text/html; charset=utf-8", html)
            }
            (&Method::GET, "page.js") => sent(StatusCode::OK, "text/javascript; charset=utf-8", SCRIPT),
            (&Method::GET, "page.css") => sent(StatusCode::OK, "text/css; charset=utf-8", STYLE),
            (&Method::POST, "turn" | "file") => self.post(request, &rest).await,
            (_, "" | "page.js" | "page.css" | "turn" | "file") => {
                told(StatusCode::METHOD_NOT_ALLOWED, "that can’t be done there")
            }
            _ => told(StatusCode::NOT_FOUND, "there is nothing here"),
        }
    }

    async fn post(&self, request: Request<Incoming>, what: &str) -> Response<Full<Bytes>> {
        let page = request
            .uri()
            .query()
            .and_then(|query| query.strip_prefix("page=")?.parse().ok());
        let Some(page) = page else {
            return told(
                StatusCode::BAD_REQUEST,
                "the request does not say which page it comes from",
            );
        };
        let body = Limited::new(request.into_body(), MOST_BYTES).collect();
        let bytes = match tokio::time::timeout(BODY_WITHIN, body).await {
            Ok(Ok(body)) => body.to_bytes(),
            Ok(Err(error)) if error.is::<LengthLimitError>() => {
                return told(
                    StatusCode::PAYLOAD_TOO_LARGE,
                    "that is larger than any plan; nothing was changed",
                );
            }
            Ok(Err(_)) => return told(StatusCode::BAD_REQUEST, "the request broke off"),
            Err(_) => return told(StatusCode::REQUEST_TIMEOUT, "the request took too long"),
        };
        let Ok(text) = std::str::from_utf8(&bytes) else {
            return told(StatusCode::BAD_REQUEST, "the request is not a text in UTF-8");
        };
        let mut session = self.session.borrow_mut();
        let answer = if what == "turn" {
            session.turn(page, text)
        } else {
            session.wish(page, text)
        };
        match answer {
            Ok(answer) => given(&answer),
            Err(words) => told(
                StatusCode::BAD_REQUEST,
                &format!("the request can’t be understood: {words}"),
            ),
        }
    }
}

fn given(answer: &Answer) -> Response<Full<Bytes>> {
    let json = serde_json::to_string(answer).unwrap_or_default();
    sent(StatusCode::OK, "application/json", json)
}

fn refused(refusal: Refusal) -> Response<Full<Bytes>> {
    let (status, words) = match refusal {
        Refusal::Host => (
            StatusCode::MISDIRECTED_REQUEST,
            "the page answers to 127.0.0.1 alone",
        ),
        Refusal::Origin => (StatusCode::FORBIDDEN, "the request comes from another page"),
        Refusal::Token => (
            StatusCode::FORBIDDEN,
            "the address lacks the token that the program printed",
        ),
        Refusal::Kind => (StatusCode::UNSUPPORTED_MEDIA_TYPE, "only JSON is taken"),
    };
    told(status, words)
}

fn told(status: StatusCode, words: &str) -> Response<Full<Bytes>> {
    sent(status, "application/json", json!({ "notice": words }).to_string())
}

fn sent(status: StatusCode, kind: &'static str, body: impl Into<Bytes>) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(body.into()));
    *response.status_mut() = status;
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, kind),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::REFERRER_POLICY, "no-referrer"),
        (
            header::HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            header::HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, header::HeaderValue::from_static(value));
    }
    response
}
