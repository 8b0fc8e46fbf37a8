//! The command line as typed.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;
use std::process::ExitCode;

/// Lays out registration marks on aircraft, boats and trucks: the sizes the law allows, where they go, and
/// what to measure.
#[derive(Debug, Parser)]
#[command(name = "maskwright", version, arg_required_else_help = true)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make the whole plan of a job: plan.json and the layout drawings
    Plan {
        /// The job file
        job: PathBuf,
        /// Folder for the plan (default: the job's name, beside the job file)
        #[arg(short, long, value_name = "DIR")]
        out: Option<PathBuf>,
        #[command(flatten)]
        wanted: FilesWanted,
    },
    /// Say what is right and wrong with a job, without writing files
    Check {
        /// The job file
        job: PathBuf,
        /// Print the findings as JSON
        #[arg(long)]
        json: bool,
    },
    /// Plan the sample job that comes with the program
    Demo {
        /// Folder for the plan
        #[arg(short, long, value_name = "DIR", default_value = "maskwright-demo")]
        out: PathBuf,
    },
    /// Write a commented job file to start from; never overwrites
    New {
        /// The file to write
        file: PathBuf,
        /// What shape of surface to start with
        #[arg(long, value_enum, default_value_t = Kind::Wing)]
        kind: Kind,
    },
    /// List the rule packs, or show one pack's numbers
    Rules {
        /// Id of a pack, or a path to one
        pack: Option<String>,
    },
    /// Open the page: jobs of a folder in the browser of this machine, and of a phone if asked
    Serve {
        /// Folder of job files, or one job file
        #[arg(default_value = ".")]
        at: PathBuf,
        /// Port to listen on
        #[arg(long, default_value_t = 8730)]
        port: u16,
        /// Listen on the local network too, for a phone with the code
        #[arg(long)]
        lan: bool,
    },
    /// Print the JSON Schema of the job file
    Schema,
}

/// Which files of a plan are wanted, and on what paper.
#[derive(Clone, Debug, Default, clap::Args)]
pub(crate) struct FilesWanted {
    /// Write these files only, beside plan.json; files of an earlier run go
    #[arg(long, value_enum, value_name = "PARTS", value_delimiter = ',')]
    only: Vec<OnlyPart>,
    /// Paper of full-size sheets: a4, a3, letter, tabloid, or a roll's width such as "24 in"
    #[arg(long, value_name = "PAPER", value_parser = plan::book::wanted::paper)]
    paper: Option<plan::book::wanted::Stock>,
    /// Show on the layout drawings where the middle of each mark may be
    #[arg(long)]
    show_room: bool,
}

impl FilesWanted {
    /// The same for the planner.
    pub(crate) fn meant(self) -> plan::Wanted {
        let part = |part: OnlyPart| match part {
            OnlyPart::Book => plan::Part::Book,
            OnlyPart::Layout => plan::Part::Layout,
            OnlyPart::Patterns => plan::Part::Patterns,
            OnlyPart::Sticks => plan::Part::Sticks,
        };
        plan::Wanted {
            only: self.only.into_iter().map(part).collect(),
            paper: self.paper,
            show_room: self.show_room,
        }
    }
}

/// Parts of a plan that can be asked for alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum OnlyPart {
    /// The printed book
    Book,
    /// The layout drawings
    Layout,
    /// The full-size patterns
    Patterns,
    /// The story sticks
    Sticks,
}

/// Shapes of surface a job can start with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    /// A flat panel
    Flat,
    /// One face of a half wing or tail surface
    Wing,
    /// A body lofted through stations
    Body,
    /// A scan
    Mesh,
}

/// Reads the command line. A wrong one is told on stderr with status 2; help and version go to stdout.
pub(crate) fn read() -> Result<Args, ExitCode> {
    Args::try_parse().map_err(|e| {
        let status = if e.use_stderr() { 2 } else { 0 };
        // Nothing sensible is left to do if the terminal itself cannot be written.
        let _ = e.print();
        ExitCode::from(status)
    })
}
