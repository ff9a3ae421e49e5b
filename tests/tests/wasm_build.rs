//! The npm package: builds for Node, and says there what the native core says here.

use bastwork_site::{node, npm, run};

#[test]
fn node_package_knows_its_version() {
    let package = npm::package(npm::Host::Node).unwrap();
    let script = "console.log(require(process.argv[1]).version())";
    let mut node = run::command(&node::node().unwrap());
    let output = node.args(["-e", script]).arg(&package).output().unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(
        String::from_utf8_lossy(&output.stdout).trim(),
        env!("CARGO_PKG_VERSION")
    );
}
