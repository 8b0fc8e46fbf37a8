//! The command `serve`: the page, until it is told to end.

use crate::run::{BAD_INPUT, DEMO_JOB, DEMO_SECTION, GOOD, print, tell};
use serve::{Server, Settings};
use std::path::Path;

/// The sample job as the page offers it.
static DEMO: [(&str, &[u8]); 2] = [("parasol-wing.toml", DEMO_JOB.as_bytes()), DEMO_SECTION];

/// Serves a folder of jobs, or the folder of one job; gives the exit status.
pub(crate) fn serve(at: &Path, port: u16, lan: bool) -> u8 {
    let (folder, first) = if at.is_file() {
        let name = at.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let folder = at.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        (folder.to_owned(), name)
    } else {
        (at.to_owned(), String::new())
    };
    let settings = Settings { folder, first, port, lan, demo: &DEMO, files: all_files };
    let runtime = match tokio::runtime::Builder::new_multi_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(e) => {
            tell(&format!("error: cannot start: {e}\n"));
            return BAD_INPUT;
        }
    };
    let ended = runtime.block_on(async {
        let server = Server::start(settings).await?;
        print(&format!("The page is at {}   (end with Ctrl-C)\n", server.here));
        if !server.phone.is_empty() {
            print(&format!("For a phone on this network, with its code: {}\n", server.phone));
            print(&serve::square_code::text(&server.phone).unwrap_or_default());
            print(
                "This is plain http: others on the network could listen, and the phone may fall asleep; \
                 the clocks run on this machine and go on.\n",
            );
        } else if lan {
            tell("warning: this machine has no address on a network; only its own browser gets in\n");
        }
        server.run().await
    });
    runtime.shutdown_background();
    match ended {
        Ok(()) => GOOD,
        Err(why) => {
            tell(&format!("error: {why}\n"));
            BAD_INPUT
        }
    }
}

/// All files of a plan, as the page offers them.
fn all_files(plan: &plan::Plan) -> Vec<(String, Vec<u8>)> {
    let wanted = plan::Wanted::default();
    let mut files = plan.files(&wanted, &mut |_| ()).files;
    let paper = if wanted.inch_book(&plan.job) { book_pdf::Paper::Letter } else { book_pdf::Paper::A4 };
    // A book that cannot be set is missing from the list; `plan` says why.
    if let Ok(bytes) = book_pdf::book(&plan.book_data(), &plan.book_drawings(), paper) {
        files.insert(0, ("book.pdf".to_owned(), bytes));
    }
    files
}
