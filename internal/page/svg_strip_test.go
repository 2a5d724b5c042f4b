package page

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"cotline/handover"
)

// night is a series across the night in which the clock goes back in Vienna.
func night() handover.Series {
	at := func(s string) time.Time { return clockOf(s) }
	return handover.Series{
		Infant: "inf-1", Cot: "K1", MRN: "0071234", Since: at("2026-10-24T19:40:00+02:00"), At: at("2026-10-25T07:30:00+01:00"),
		Zone:   zoneOf("Europe/Vienna"),
		Clocks: []handover.ClockChange{{At: at("2026-10-25T01:00:00Z"), Before: 2 * time.Hour, After: time.Hour}},
		Support: []handover.Bar{{From: at("2026-10-24T19:40:00+02:00"), To: at("2026-10-25T04:00:00+01:00"), What: "cpap"},
			{From: at("2026-10-25T04:00:00+01:00"), To: at("2026-10-25T04:40:00+01:00"), What: "break"},
			{From: at("2026-10-25T04:40:00+01:00"), To: at("2026-10-25T07:30:00+01:00"), What: "cpap"}},
		FiO2: []handover.Step{{From: at("2026-10-24T19:40:00+02:00"), To: at("2026-10-25T02:15:00+02:00"), Value: ptr(dec("31"))},
			{From: at("2026-10-25T02:15:00+02:00"), To: at("2026-10-25T04:00:00+01:00"), Value: ptr(dec("44"))},
			{From: at("2026-10-25T04:40:00+01:00"), To: at("2026-10-25T07:30:00+01:00")}},
		Pressure: []handover.Step{{From: at("2026-10-24T19:40:00+02:00"), To: at("2026-10-25T04:00:00+01:00"), Value: ptr(dec("6.5"))}},
		Target: []handover.Target{{From: at("2026-10-24T19:40:00+02:00"), To: at("2026-10-25T04:00:00+01:00"), Low: ptr(dec("90")),
			High: ptr(dec("95"))}},
		SpO2: []handover.Saturation{{Value: dec("78"), Against: "below", Within: true, Source: from(1, "2026-10-25T02:30:00+02:00")},
			{Value: dec("97"), Against: "above", Within: true, Source: from(2, "2026-10-25T02:30:00+01:00")}},
		Interface: []handover.Bar{{From: at("2026-10-24T19:40:00+02:00"), To: at("2026-10-24T23:00:00+02:00"), What: "mask",
			Size: `<S> & "so" \u202e`}, {From: at("2026-10-24T23:00:00+02:00"), To: at("2026-10-25T07:30:00+01:00"), What: "prongs",
			Size: strings.Repeat("שלג ", 16)}},
		Rotations: []handover.Rotated{{From: "mask", To: "prongs", Source: from(3, "2026-10-24T23:00:00+02:00")}},
		Skin: []handover.SkinSeen{{Sites: []handover.SiteSeen{{Site: "septum", Finding: "deep"}, {Site: "bridge", Finding: "intact"}},
			Worst: "deep", Source: from(4, "2026-10-24T23:05:00+02:00")}},
		Episodes: []handover.EpisodeSeen{{Signs: []string{"apnoea"}, Recovered: "by-itself", Source: from(5, "2026-10-25T05:00:00+01:00")},
			{Signs: []string{"desaturation"}, Recovered: "bagged", Source: from(6, "2026-10-25T05:01:00+01:00")}},
		Alarms: []handover.Alarm{{About: "gas-supply", SettledAt: at("2026-10-25T06:10:00+01:00"),
			Source: from(7, "2026-10-25T06:00:00+01:00")}},
	}
}

func labelsOf(p picture) string {
	var all []string
	for _, l := range p.labels {
		all = append(all, l.text)
	}
	return strings.Join(all, " | ")
}

// The hour that comes twice stands twice, as first and second; the change is said.
func TestStripShowsTheClockChange(t *testing.T) {
	p := readPicture(t, shiftStrip(night(), alone))
	words := labelsOf(p)
	if n := strings.Count(words, "| 02:00 |"); n != 2 {
		t.Errorf("02:00 stands %d times on the axis: %s", n, words)
	}
	for _, want := range []string{"| first |", "| second |", "| clock back 1 h |", "12 hours 50 minutes, clock back 1 h at 03:00"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not on the strip: %s", want, words)
		}
	}
	if !strings.Contains(p.desc, "78 % 02:30 (first) below") || !strings.Contains(p.desc, "97 % 02:30 (second) above") {
		t.Errorf("two readings of one clock time are not told apart: %s", p.desc)
	}
}

// What was not charted is said, what is charted stands in the lanes and in words.
func TestStripTellsItsLanes(t *testing.T) {
	p := readPicture(t, shiftStrip(night(), alone))
	words := labelsOf(p)
	for _, want := range []string{"K1", "0071234", "44", "6.5", "NOT CHARTED", "78", "2× AD", "de", "gas supply", "last 97 %",
		"90 to 95", pictureCaution} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not on the strip: %s", want, words)
		}
	}
	for _, want := range []string{"break 04:00 to 04:40", "44 % from 02:15 (first) to 04:00", "NOT CHARTED from 04:40",
		"mask to prongs 24 Oct 23:00",
		"septum deep, bridge intact", "apnoea, by itself", "desaturation, bagged", "gas supply, settled 06:10", Caution} {
		if !strings.Contains(p.desc, want) {
			t.Errorf("%q is not in the description: %s", want, p.desc)
		}
	}
	if o := p.overlaps(); len(o) > 0 {
		t.Error(o)
	}
	empty := handover.Series{Infant: "i", Cot: "1", Since: night().Since, At: night().At, Zone: night().Zone}
	none := readPicture(t, shiftStrip(empty, alone))
	if !strings.Contains(labelsOf(none), "none in this window") || !strings.Contains(none.desc, "Episodes: none charted.") {
		t.Errorf("of nothing: %s / %s", labelsOf(none), none.desc)
	}
}

// Charted text cannot leave its element, turn what stands beside it, or hide.
func TestPicturesWithHostileText(t *testing.T) {
	long := strings.Repeat("Wm", 32)
	for _, cot := range []string{`</text><script>alert(1)</script>`, "]]>&lt;\"'", "\u202eabc\u2066", "a\x00b\x1b[2J\xff",
		long, "الحليب", "雪雪雪"} {
		s := night()
		s.Cot, s.MRN, s.Temporary = cot, "", cot
		s.Interface[0].Size, s.Interface[1].Size = cot, cot
		d := handover.HeadSeries{Infant: "i", Cot: cot, MRN: cot, At: s.At, Zone: s.Zone, Today: day("2026-10-25"),
			Born: day("2026-10-01"), From: day("2026-10-18"), To: day("2026-11-01"), NoCurves: "sex",
			Bonnets: []handover.BonnetSize{{Name: cot, FromCm: dec("24"), ToCm: dec("26.5")}},
			On: &handover.BonnetOn{BonnetSize: handover.BonnetSize{Name: cot, FromCm: dec("24"), ToCm: dec("26.5")},
				Since: day("2026-10-20")}}
		h := twoInfants()
		f := *h.Infants[0]
		f.Cot, f.MRN = cot, cot
		for _, svg := range [][]byte{shiftStrip(s, alone), headChartOf(d, alone), faceMap(h, &f, alone)} {
			p := readPicture(t, svg)
			if o := p.overlaps(); len(o) > 0 {
				t.Errorf("%q: %v", cot, o)
			}
			for _, n := range p.names {
				if n == "script" {
					t.Errorf("%q became an element", cot)
				}
			}
			if bytes.ContainsAny(svg, "\x00\x1b") || bytes.ContainsRune(svg, '\u202e') || !bytes.Contains(svg, []byte("\u2068")) {
				t.Errorf("%q is not harmless", cot)
			}
			if strings.Contains(p.title, "…") || cot == long && !strings.Contains(p.labels[0].text, long) {
				t.Errorf("who the picture is about was cut: %s", p.labels[0].text)
			}
		}
	}
}

// Ticks are as many as have room, from hours to weeks; a window may be a moment.
func TestAxisSteps(t *testing.T) {
	for _, x := range []struct{ window, want string }{
		{"48h", "| 04:00 |"}, {"240h", "| 20 Oct |"}, {"2000h", "| 5 Aug |"}, {"20m", "25 Oct"}, {"0s", "25 Oct"},
	} {
		d, err := time.ParseDuration(x.window)
		if err != nil {
			t.Fatal(err)
		}
		s := night()
		s.Since = s.At.Add(-d)
		s.Clocks = nil
		p := readPicture(t, shiftStrip(s, alone))
		words := " | " + labelsOf(p) + " | "
		if !strings.Contains(words, x.want) {
			t.Errorf("%s: no %q among %s", x.window, x.want, words)
		}
		if o := p.overlaps(); len(o) > 0 {
			t.Errorf("%s: %v", x.window, o)
		}
	}
}
