//! `cargo run`: builds the page, serves it and prints its address.

use std::env;
use std::net::{IpAddr, Ipv4Addr};
use std::process::ExitCode;

use bastwork_site::npm::{self, Host};
use bastwork_site::{Result, Trouble, lan, page, serve, watch};

const HELP: &str = "\
Builds the page, serves it on this computer and prints its address.

cargo run                    build, serve, print the address
cargo run -- --build-only    build into site/dist and stop
cargo run -- --npm           build the npm packages into wasm/pkg and stop (builds wasm-pack first, about 6 minutes, once)
cargo run -- --watch         serve with trunk, which builds anew as you write (builds trunk first, about 12 minutes, once)
cargo run -- --lan           serve to the other devices in this network too
cargo run -- --port 9000     begin to look for a free port at 9000 instead of 8787";

struct Wish {
    build_only: bool,
    npm: bool,
    watch: bool,
    lan: bool,
    port: u16,
}

fn main() -> ExitCode {
    let words: Vec<String> = env::args().skip(1).collect();
    if words.iter().any(|word| word == "--help" || word == "-h") {
        println!("{HELP}");
        return ExitCode::SUCCESS;
    }
    match wish(&words).and_then(|wish| grant(&wish)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("{trouble}");
            ExitCode::FAILURE
        }
    }
}

fn wish(words: &[String]) -> Result<Wish> {
    let mut wish = Wish {
        build_only: false,
        npm: false,
        watch: false,
        lan: false,
        port: 8787,
    };
    let mut words = words.iter();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--build-only" => wish.build_only = true,
            "--npm" => wish.npm = true,
            "--watch" => wish.watch = true,
            "--lan" => wish.lan = true,
            "--port" => {
                let number = words.next().and_then(|text| text.parse().ok());
                wish.port =
                    number.ok_or_else(|| Trouble::new("--port takes a number from 0 to 65535."))?;
            }
            other => {
                return Err(Trouble::new(format!(
                    "There is no option {other}.\n\n{HELP}"
                )));
            }
        }
    }
    Ok(wish)
}

fn grant(wish: &Wish) -> Result<()> {
    if wish.npm {
        for host in [Host::Node, Host::Web] {
            println!("{}", npm::package(host)?.display());
        }
        return Ok(());
    }
    if wish.watch {
        return watch::serve(wish.port);
    }
    let dist = page::build()?;
    if wish.build_only {
        println!("{}", dist.display());
        return Ok(());
    }
    let host = if wish.lan {
        Ipv4Addr::UNSPECIFIED
    } else {
        Ipv4Addr::LOCALHOST
    };
    let serving = serve::serve_at(&dist, IpAddr::V4(host), wish.port)?;
    println!("Bastwork is at {}", serving.url());
    if wish.lan {
        match lan::address() {
            Some(address) => println!(
                "Other devices in this network find it at http://{address}:{}/",
                serving.port()
            ),
            None => {
                eprintln!("This computer is in no network that other devices could reach it by.")
            }
        }
        eprintln!(
            "There it works while this runs; to be kept for use without a network, browsers want it from localhost or https."
        );
    }
    eprintln!("Press Ctrl+C to stop.");
    serving.wait();
    Ok(())
}
