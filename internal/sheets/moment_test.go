package sheets

import (
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/thedatashed/xlsxreader"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// Every day of a year shows its full date and time, the first of a month and midnight too, and reads back as a date of
// the same wall time. The library's own default shows a month alone on the first.
func TestMomentsOfAYear(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"} {
		c := clock{zone(t, name)}
		var moments []time.Time
		var cells []cell
		for at := time.Date(2026, 1, 1, 0, 0, 0, 0, c.zone); at.Year() == 2026; at = at.Add(23*time.Hour + 53*time.Minute) {
			moments = append(moments, at)
			cells = append(cells, c.moment(at, none))
		}
		for m := time.Month(1); m <= 12; m++ {
			at := time.Date(2026, m, 1, 0, 0, 0, 0, c.zone)
			moments, cells = append(moments, at), append(cells, c.moment(at, none))
		}
		o := written(t, map[string][]cell{"When": cells})
		_, shown := o.rows("Test")
		typed := o.column("Test", "When")
		for i, at := range moments {
			if want := at.Format("2006-01-02 15:04"); shown[i][0] != want {
				t.Fatalf("%s: %s is shown as %s", name, want, shown[i][0])
			}
			if got := secondsOf(t, typed[i]); got != at.Format("2006-01-02T15:04:05") {
				t.Fatalf("%s: %s reads back as %s", name, at, got)
			}
		}
		if got := o.format("Test", "A3"); got != "yyyy-mm-dd hh:mm" {
			t.Errorf("format %q", got)
		}
	}
}

// secondsOf is a date cell to the second: its value is a binary fraction of a day.
func secondsOf(t testing.TB, c xlsxreader.Cell) string {
	t.Helper()
	if c.Type != xlsxreader.TypeDateTime {
		t.Fatalf("%s%d is %s, want a date", c.Column, c.Row, c.Type)
	}
	for _, form := range []string{time.RFC3339, time.DateOnly} {
		if at, err := time.Parse(form, c.Value); err == nil {
			at = at.Add(time.Second / 2) // the reader cuts off fractions
			if at.Second()%2 == 1 && at.Second()%60 == 59 {
				at = at.Add(time.Second)
			}
			return at.Format("2006-01-02T15:04:05")
		}
	}
	t.Fatalf("%q is no date", c.Value)
	return ""
}

// Two moments an hour apart have one wall time in the night the clock goes back: the offset beside them tells them apart.
func TestBothHoursOfTheNight(t *testing.T) {
	c := clock{zone(t, "Europe/Vienna")}
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC)
	moments := []time.Time{first, first.Add(time.Hour)}
	cols := momentColumns(c, "Happened", func(t time.Time) cell { return c.moment(t, none) })
	data, err := writeSheets(newBook("Title", ""), table("Test", "", seqOf(moments), func(time.Time) string { return "" }, cols...))
	if err != nil {
		t.Fatal(err)
	}
	header, rows := open(t, data).rows("Test")
	if header[0] != "Happened (Europe/Vienna)" || header[1] != "Happened, offset from UTC" {
		t.Errorf("headers %q", header)
	}
	want := [][]string{{"2026-10-25 02:30", "+02:00"}, {"2026-10-25 02:30", "+01:00"}}
	for i := range want {
		if rows[i][0] != want[i][0] || rows[i][1] != want[i][1] {
			t.Errorf("row %d is %q, want %q", i, rows[i], want[i])
		}
	}
}

func seqOf[T any](list []T) func(func(T) bool) {
	return func(yield func(T) bool) {
		for _, v := range list {
			if !yield(v) {
				return
			}
		}
	}
}
