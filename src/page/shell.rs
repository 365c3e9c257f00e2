//! The page around the regions: what a host sends first.

use maud::{DOCTYPE, Markup, html};

/// The browser's part: sends edits, puts what comes back into place.
pub const SCRIPT: &str = include_str!("assets/page.js");

/// The looks.
pub const STYLE: &str = include_str!("assets/page.css");

/// The page before its first turn. `host` says who answers edits: `server` or `module`; `page` tells one page from
/// another on the same plan; `policy` is a content security
/// policy for hosts that can't send one.
pub fn shell(host: &str, page: &str, policy: Option<&str>) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-answers=(host) data-page=(page) {
            head {
                meta charset="utf-8";
                @if let Some(policy) = policy { meta http-equiv="Content-Security-Policy" content=(policy); }
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                meta name="color-scheme" content="light dark";
                title { "bywash" }
                link rel="icon" href="data:,";
                link rel="stylesheet" href="page.css";
                script type="module" src="page.js" {}
            }
            body {
                noscript { p { "This page needs scripts: they send what is typed to the program on this machine, and nowhere else." } }
                p.offline id="offline" role="alert" hidden {}
                div id="page" data-state="loading" {
                    header id="top" {}
                    main {
                        div id="dialog" {}
                        div id="start" {}
                        section id="paper" aria-label="papers" {}
                        div.columns {
                            section id="form" aria-label="the plan" {}
                            section id="drawing" aria-label="the drawing" {}
                            section id="findings" aria-label="findings and questions" {}
                        }
                    }
                }
            }
        }
    }
}
