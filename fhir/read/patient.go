package read

import (
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// A Patient says neither where the infant lies nor whether it is on this unit, and a
// likeness is not a person. So a Patient by itself admits nobody and renames nobody.
// Identifiers alone tell who it is in the record, and a person confirms: with a key and
// a cot for an infant whom the record does not know, with a key for one whom it does.
// An infant who has no number yet is found by birth and sex, if nobody else could be
// meant.

func (d *reader) patient(o *offered) {
	key, number, why := d.whose(o)
	ours := d.ours(o)
	switch k := d.infants[key]; {
	case ours && (len(d.bases) > 0 || key == ""), ours && d.replaced(o, k):
		// it goes with the entries beside it, or was ended by us
	case !d.onADay(o, "birthDate") || !d.there(o, "_birthDate.extension.valueDateTime", birthTime(o)):
	case why != "":
		d.aside(o, why)
	case d.unfit(o) != "":
		d.aside(o, d.unfit(o))
	case k != nil && d.Admit == key && !k.admitted:
		d.admission(o, number)
	case k != nil:
		d.familiar(o, k, ours)
	case number == "" && d.Policy.FHIR.Identifiers["mrn"].System == "":
		d.aside(o, noSystem)
	case number == "":
		d.aside(o, "no hospital number by the policy's system of it")
	case d.completes(o) != nil:
		d.identify(o, d.completes(o))
	case d.Admit == "":
		d.aside(o, "not known to the record: with --admit KEY=COT it is admitted; with --identify KEY it is that infant, who "+
			"has no number yet")
	case d.strangers() != 1:
		d.met[d.Admit] = true
		d.issue(o.ordinal, "", entry.CodeResource, "", "one Patient who is not known, to be admitted")
	default:
		d.admission(o, number)
	}
}

// whose is the infant that a Patient is, told by identifiers: the hospital number, one
// that it had before, here or there, or our own identifier. Where there is no such
// infant it is the number that is nobody's.
func (d *reader) whose(o *offered) (key, number, why string) {
	ids := o.List("identifier")
	numbers := d.numbers(ids)
	if len(numbers) > 1 {
		return "", "", "two hospital numbers by the policy's system of them"
	}
	keys := map[string]bool{}
	for _, id := range ids {
		number := d.numberOf(id)
		if k, known := d.byNumber[number]; known {
			keys[k] = true
		} else if k, known := d.former[number]; known {
			keys[k] = true
		}
		if base, own := strings.CutSuffix(id.Text("system"), r4.OwnIDPath); own && base == d.Policy.FHIR.Base {
			for k := range d.infants {
				if v := id.Text("value"); r4.IDOfInfant(d.Policy, k).String() == v || r4.IDOfLabelled(d.Policy, k).String() == v {
					keys[k] = true
				}
			}
		}
	}
	if len(numbers) == 1 {
		number = numbers[0]
	}
	for k := range keys {
		key = k
	}
	if keys[""] || len(keys) > 1 {
		return "", number, "it may be either of two infants of the record"
	}
	return key, number, ""
}

// replaced says whether a Patient is the one that an infant had under its label, which
// the one of its number has replaced.
func (d *reader) replaced(o *offered, k *known) bool {
	return k != nil && k.text("mrn") != "" && slices.ContainsFunc(o.List("identifier"), func(id *r4.Part) bool {
		return d.ownSystem(id.Text("system")) && id.Text("value") == r4.IDOfLabelled(d.Policy, k.key).String()
	})
}

// unfit is why a Patient is nobody to admit or to rename: an element that modifies its
// meaning, as R4 has it, says so.
func (d *reader) unfit(o *offered) string {
	switch n := o.At("active"); {
	case o.At("modifierExtension") != nil || o.At("implicitRules") != nil:
		return modified
	case d.rehearsed(o):
		return rehearsal
	case n != nil && n.Value != "true":
		return "not an active record of the hospital's"
	case slices.ContainsFunc(o.List("link"), func(n *r4.Part) bool { return n.Text("type") != "replaces" }): // that one holds
		return "linked to another Patient: the hospital says which of them holds"
	case bornTwice(o):
		return "a birth date, and a time of birth on another day"
	case o.At("deceasedDateTime") != nil || o.At("deceasedBoolean") != nil && o.At("deceasedBoolean").Value != "false":
		return "deceased: a discharge is charted by a person"
	}
	return ""
}

// strangers counts the hospital numbers of Patients whom the record does not know and
// of whom nobody says who they are. It stops at two.
func (d *reader) strangers() int {
	numbers := map[string]bool{}
	for _, o := range d.all {
		if o.kind != "Patient" || d.ours(o) || d.unfit(o) != "" {
			continue
		}
		if key, number, why := d.whose(o); key == "" && why == "" && number != "" && d.completes(o) == nil {
			if numbers[number] = true; len(numbers) > 1 {
				break
			}
		}
	}
	return len(numbers)
}

// familiar says in what the Patient of an infant differs from the record, or charts the
// difference where that is asked for.
func (d *reader) familiar(o *offered, k *known, ours bool) {
	differing := names(d.differing(o, k))
	asked := slices.Contains(d.Identify, k.key)
	again := d.met[k.key]
	d.met[k.key] = true
	switch {
	case !k.admitted && asked:
		d.issue(o.ordinal, "", entry.CodeNotAdmitted, "", k.key+" is not admitted: with --admit "+k.key+"=COT it is admitted anew")
	case !k.admitted:
		d.aside(o, "of "+k.key+", who is not admitted: with --admit "+k.key+"=COT it is admitted anew")
	case d.bornOtherwise(o, k):
		if asked {
			d.bornOf(o, k)
			return
		}
		d.aside(o, "born on another day than "+k.key+" of the record: correct the admission, or it is another infant")
	case len(differing) > 0 && asked && again:
		d.issue(o.ordinal, "", entry.CodeResource, "", "one Patient of "+k.key)
	case len(differing) > 0 && asked:
		d.identify(o, k)
	case len(differing) > 0:
		d.aside(o, strings.Join(differing, ", ")+" of "+k.key+" differ: with --identify "+k.key+" they are charted")
	case !ours:
		d.aside(o, familiar)
	}
}

func (d *reader) bornOf(o *offered, k *known) {
	d.issue(o.ordinal, "birthDate", entry.CodeResource, "",
		"the birth date of "+k.key+": correct its admission (born), or it is another infant")
}

// completes finds the infant without a number, among those to be identified, who alone
// can be a Patient that nobody knows: there must be one such Patient of that birth and
// sex, and one such infant.
func (d *reader) completes(o *offered) *known {
	var found []*known
	for _, k := range d.infants {
		if k.admitted && k.text("mrn") == "" && d.agrees(o, k) {
			found = append(found, k)
		}
	}
	if len(found) != 1 || !slices.Contains(d.Identify, found[0].key) {
		return nil
	}
	for _, other := range d.all {
		if other != o && other.kind == "Patient" && d.agrees(other, found[0]) {
			if key, number, why := d.whose(other); key == "" && (why != "" || number != "") {
				return nil
			}
		}
	}
	return found[0]
}
