package sheets

import (
	"strings"

	"cotline/handover"
)

// attentionLines tell what to look at first, in the words of the ward line; the path goes on with that of the fact it is
// about.
func attentionLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, a := range s.Attention {
		f.add(strings.TrimSuffix(x.Path+"."+a.What+"."+a.Path, "."), text(a.Text, none), a.Level,
			handover.Source{At: a.At, Entry: a.Entry})
	}
}

// nextLines tell the plan ahead: a moment, or a civil day.
func nextLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, n := range s.Next {
		path := strings.TrimSuffix(x.Path+"."+n.What+"."+n.Care, ".")
		value := f.moment(n.DueAt, none)
		if n.DueAt.IsZero() {
			value = day(n.On, none)
		}
		f.add(path, value, n.Text, noSource)
		f.at(path+".overdueAt", n.OverdueAt, noSource)
	}
}

func oldLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, o := range s.Old {
		f.add(x.Path+"."+o.Path, word("older than its interval"), "", handover.Source{At: o.At})
	}
}

func doubtLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, d := range s.Doubts {
		f.add(strings.TrimSuffix(x.Path+"."+d.Code+"."+d.Path, "."), text(d.Text, none), "", handover.Source{Entry: d.Entry})
	}
}

func safetyLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, i := range s.Safety.Items {
		f.add(x.Path+"."+i.Item, yesNo(i.OK), "", s.Safety.Source)
	}
}

func toldLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, t := range s.Told {
		f.add(x.Path, text(t.About, none), "said to "+t.Whom, t.Source)
		f.text(x.Path+".answer", t.Answer, t.Source)
	}
}

func notComputedLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, n := range s.NotComputed {
		f.add(x.Path+"."+n.Path, text(n.Why, none), "", noSource)
	}
}
