"""`mains-unsafe`."""

from pincheck.model.finding import Severity

RULE = "mains-unsafe"
BED = 'at = "main.bed"\npart = "bed-24v-200w"'
MAINS = 'at = "main.bed"\npart = "bed-230v-600w"'


def said(facts, bed=MAINS):
    return (("marsh-230-c.toml", BED, f"{bed}\n{facts}"),)


def test_each_fact_that_is_false_is_a_danger(machine, ask):
    facts = "mains = { earthed = false, cut_out = false, live_switched = false }"
    found = ask(RULE, machine(wiring=said(facts))).findings
    assert [it.severity for it in found] == [Severity.DANGER] * 3
    assert "The bed heater is on mains and is not earthed" in found[0].message


def test_what_nobody_says_is_asked_for(machine, ask):
    asked = ask(RULE, machine(wiring=said("mains = { cut_out = true }")))
    assert not asked.findings
    assert asked.unchecked["bed.heater", "supply_v"] == (
        "on mains, and nothing says mains = { earthed = true, live_switched = true } of its fit"
    )


def test_quiet_where_all_is_said_or_nothing_is_on_mains(machine, ask):
    facts = "mains = { earthed = true, cut_out = true, live_switched = true }"
    assert not ask(RULE, machine(wiring=said(facts))).outcomes
    assert not ask(RULE, machine(wiring=said("mains = { earthed = false }", BED))).outcomes
