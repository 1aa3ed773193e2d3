use serde_json::Value;

use super::*;
use crate::sample;

fn read(audits: &[Audit], strict: bool) -> Value {
    serde_json::from_str(&render(audits, &[], strict)).unwrap()
}

#[test]
fn suppressions_stand_on_all_results_or_on_none() {
    let log = read(&[sample::audit(), sample::fine()], false);
    let with = log["runs"][0]["results"].as_array().unwrap();
    assert!(with.iter().all(|result| result["suppressions"].is_array()));
    let accepted: Vec<&Value> = with.iter().filter(|result| result["suppressions"] != json!([])).collect();
    assert_eq!(accepted.len(), 1);
    assert_eq!(
        accepted[0]["suppressions"],
        json!([{ "kind": "inSource", "justification": "first weighing comes next week, until 2027-05-01" }])
    );
    // Accepted or not, it fails.
    assert_eq!((&accepted[0]["kind"], &accepted[0]["level"]), (&json!("fail"), &json!("error")));
    let without = log["runs"][1]["results"].as_array().unwrap();
    assert!(without.iter().all(|result| result.get("suppressions").is_none()));
}

#[test]
fn a_level_stands_beside_what_fails_alone() {
    for strict in [false, true] {
        let log = read(&[sample::audit(), sample::since()], strict);
        for result in log["runs"].as_array().unwrap().iter().flat_map(|run| run["results"].as_array().unwrap()) {
            assert_eq!(result["kind"] == "fail", result["level"] != "none", "{result}");
        }
    }
}

#[test]
fn a_fingerprint_is_the_key_and_stays_when_the_line_moves() {
    let prints = |audit: Audit| -> Vec<Value> {
        let log = read(&[audit], false);
        let results = log["runs"][0]["results"].as_array().unwrap();
        results.iter().map(|result| result["partialFingerprints"]["findingKey/v1"].clone()).collect()
    };
    let mut moved = sample::audit();
    for finding in &mut moved.findings {
        finding.place.line += 7;
        finding.utilisation = None;
        finding.about.push_str(" renamed");
    }
    let before = prints(sample::audit());
    assert_eq!(before, prints(moved));
    let different: std::collections::BTreeSet<String> = before.iter().map(Value::to_string).collect();
    assert_eq!(different.len(), before.len());
    let mut other = sample::audit();
    other.findings[0].case = Some("left".to_owned());
    assert_ne!(before[0], prints(other)[0]);
}

#[test]
fn the_state_against_a_baseline_stands_on_all_results_or_on_none() {
    let log = read(&[sample::since(), sample::audit()], false);
    let states = |run: usize| -> Vec<Option<String>> {
        let results = log["runs"][run]["results"].as_array().unwrap();
        results.iter().map(|result| result["baselineState"].as_str().map(str::to_owned)).collect()
    };
    let count = |word: &str| states(0).iter().filter(|state| state.as_deref() == Some(word)).count();
    assert_eq!((count("new"), count("updated")), (1, 2));
    assert!(states(0).iter().all(Option::is_some) && states(1).iter().all(Option::is_none));
}

#[test]
fn faults_errors_and_remarks_are_notifications_and_a_broken_run_says_so() {
    let log = read(&[sample::audit(), sample::unread(), sample::fine()], false);
    let told = |run: usize| &log["runs"][run]["invocations"][0];
    let of = |run: usize, id: &str| {
        let all = told(run)["toolExecutionNotifications"].as_array().unwrap();
        all.iter().filter(|one| one["descriptor"]["id"] == id).count()
    };
    assert_eq!((of(0, FAULT), of(1, INPUT_ERROR), of(0, "accept-unmatched")), (1, 3, 1));
    assert_eq!(told(0)["executionSuccessful"], false);
    assert_eq!(told(1)["executionSuccessful"], false);
    assert_eq!(told(2)["executionSuccessful"], true);
    let error = &told(1)["toolExecutionNotifications"][0];
    assert_eq!(error["locations"][0]["physicalLocation"]["region"], json!({ "startLine": 13, "startColumn": 9 }));
}

#[test]
fn each_result_points_at_its_rule() {
    let log = read(&[sample::audit()], false);
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
    for result in log["runs"][0]["results"].as_array().unwrap() {
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(rules[index]["id"], result["ruleId"]);
    }
}
