package sheets

import (
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
)

// example is a cell as somebody would fill it in.
type example struct{ sheet, column, label, write string }

// examples are the admission of an invented infant and a round. The times are the clock's.
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
	row := func(sheet string, columns []input, at string, cells ...string) {
		labels := map[string]string{}
		for _, in := range columns {
			labels[in.name] = in.label
		}
		cells = append([]string{"infant", "in-90", "at", "2026-03-09 " + at, "by", by}, cells...)
		for i := 0; i < len(cells); i += 2 {
			out = append(out, example{sheet, cells[i], labels[cells[i]], cells[i+1]})
		}
	}
	of := func(kind, at string, cells ...string) {
		k, _ := entry.KindOf(kind)
		row(k.Label, inputs(k, p), at, cells...)
	}
	row(roundName, roundSheet(p).columns, "08:30", "written", "as it happened", "observations.spo2Percent", "93",
		"observations.spo2Site", "foot", "observations.heartRateBpm", "152", "observations.axillaryC", "36.9",
		"observations.silverman.chest", "1", "observations.silverman.intercostal", "1", "observations.silverman.xiphoid", "0",
		"observations.silverman.nares", "1", "observations.silverman.grunt", "0", "settings.pressureCmH2O", "6",
		"settings.fio2Percent", "25", "interface.type", "mask", "interface.size", size, "skin.sites.septum",
		"blanching, dry; barrier asked for",
		"skin.sites.others", "yes", "tube.markCm", "15.5", "tube.ph", "5", "humidifier.chamberC", "37.0", "humidifier.water", "ok",
		"care.what.mouth-care", "x", "care.what.position", "left", "outlook.severity", "watcher", "outlook.ifThen.1.if",
		"spells come closer together",
		"outlook.ifThen.1.then", "call the doctor", "note.text", "Settles when she is held.", "note.readOut", "yes")
	of("admission", "08:00", "born", "2026-03-07", "cot", "Sill 4", "mrn", "0090417", "family", "Bramble", "given", "Wick", "sex",
		"female", "gestation", "27+3", "birthWeightG", "1010")
	of("support", "08:05", "state", "started", "mode", "cpap", "driver", "bl-17")
	of("settings", "08:05", "flowLMin", "8", "spo2LowPercent", "90", "spo2HighPercent", "95")
	of("tube", "08:20", "action", "placed", "route", "oral", "sizeFr", "6", "markCm", "15.5", "xray", "yes")
	of("skin", "08:15", "sites.bridge", "ok", "sites.forehead", "ok")
	of("head", "08:30", "circumferenceCm", "25.5")
	of("weight", "08:30", "weightG", "1040")
	return out
}

// exampleSheet shows entries cell by cell: as rows they could be taken for entries.
func exampleSheet(p *handover.Policy) sheet {
	s := table("Example", "", slices.Values(examples(p)), func(e example) string { return e.column },
		column[example]{"On sheet", 20, func(e example) cell { return word(e.sheet) }},
		column[example]{"In column", 30, func(e example) cell { return word(e.column) }},
		column[example]{"Which is", 30, func(e example) cell { return word(e.label) }},
		column[example]{"Write", 60, func(e example) cell { return text(e.write, none) }},
	)
	s.printed = len(s.heads)
	return s
}
