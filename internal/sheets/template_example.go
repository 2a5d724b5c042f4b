package sheets

import (
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
)

// example is a field as somebody would fill it in.
type example struct{ kind, field, write string }

// examples are entries of an invented infant. The times are the clock's.
func examples(p *handover.Policy) []example {
	size := "S"
	if sizes := p.Sizes["mask"]; len(sizes) > 0 {
		size = sizes[0]
	}
	by := "rn-elm"
	if len(p.Staff) > 0 {
		by = p.Staff[0].Key
	}
	var out []example
	entry := func(kind, at string, fields ...string) {
		fields = append([]string{"infant", "in-90", "at", "2026-03-09 " + at, "by", by}, fields...)
		for i := 0; i < len(fields); i += 2 {
			out = append(out, example{kind, fields[i], fields[i+1]})
		}
	}
	entry("admission", "08:00", "born", "2026-03-07", "cot", "Sill 4", "mrn", "0090417", "family", "Bramble", "given", "Wick", "sex",
		"female", "gestation", "27+3", "birthWeightG", "1010")
	entry("support", "08:05", "state", "started", "mode", "cpap", "driver", "bl-17")
	entry(
		"settings",
		"08:05",
		"pressureCmH2O",
		"6",
		"fio2Percent",
		"25",
		"flowLMin",
		"8",
		"spo2LowPercent",
		"90",
		"spo2HighPercent",
		"95",
	)
	entry("interface", "08:10", "type", "mask", "size", size, "reason", "first")
	entry(
		"skin",
		"08:15",
		"sites",
		`[{"site":"bridge","finding":"intact"},{"site":"septum","finding":"blanching","also":["dry"],"note":"barrier asked for"}]`,
	)
	entry("tube", "08:20", "action", "placed", "route", "oral", "sizeFr", "6", "markCm", "15.5", "ph", "5", "aspirate", "got", "xray",
		"true")
	entry("head", "08:30", "circumferenceCm", "25.5")
	entry("weight", "08:30", "weightG", "1040")
	entry(
		"observations",
		"09:00",
		"spo2Percent",
		"93",
		"spo2Site",
		"foot",
		"heartRateBpm",
		"152",
		"axillaryC",
		"36.9",
		"silverman",
		`{"chest":1,"intercostal":1,"xiphoid":0,"nares":1,"grunt":0}`,
	)
	entry("note", "09:30", "text", "Settles on her front.", "readOut", "true")
	return out
}

// exampleSheet shows entries field by field: as rows they could be taken for entries.
func exampleSheet(p *handover.Policy) sheet {
	label := func(e example) (sheet, field string) {
		k, _ := entry.KindOf(e.kind)
		if s, ok := k.Spec(e.field); ok {
			return k.Label, headOf(*s)
		}
		for _, s := range entry.Common {
			if s.Name == e.field {
				return k.Label, s.Label
			}
		}
		return k.Label, ""
	}
	return table("Example", "", slices.Values(examples(p)), func(e example) string { return e.kind },
		column[example]{"On sheet", 20, func(e example) cell { s, _ := label(e); return word(s) }},
		column[example]{"In column", 20, func(e example) cell { return word(e.field) }},
		column[example]{"Which is", 30, func(e example) cell { _, f := label(e); return word(f) }},
		column[example]{"Write", 60, func(e example) cell { return text(e.write, none) }},
	)
}
