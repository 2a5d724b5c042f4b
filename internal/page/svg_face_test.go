package page

import (
	"strings"
	"testing"

	"cotline/handover/entry"
)

// Every site of the record has its place on the drawing, and no two share a row.
func TestFaceHasEverySite(t *testing.T) {
	rows := map[[2]int]string{}
	for _, site := range entry.Sites {
		at, ok := faceSites[site]
		if !ok {
			t.Errorf("%s has no place on the face", site)
			continue
		}
		key := [2]int{at.row, btoi(at.right)}
		if rows[key] != "" {
			t.Errorf("%s and %s share a row", site, rows[key])
		}
		rows[key] = site
		// The infant looks at the reader: the right side is on the left.
		if strings.HasSuffix(site, "-right") && (at.x >= 3600 || at.right) || strings.HasSuffix(site, "-left") &&
			(at.x <= 3600 || !at.right) {
			t.Errorf("%s is on the wrong side: %+v", site, at)
		}
	}
	if len(faceSites) != len(entry.Sites) {
		t.Errorf("%d places for %d sites", len(faceSites), len(entry.Sites))
	}
	for _, f := range entry.Findings {
		if findingCodes[f] == "" {
			t.Errorf("%s has no code", f)
		}
	}
}

// leader is the line from a site to its words.
func leader(at faceSite) (x, y int) {
	if at.right {
		return faceRight, faceTop + at.row*faceRow
	}
	return faceLeft, faceTop + at.row*faceRow
}

// side says on which side of the line from a to b a point lies.
func side(ax, ay, bx, by, x, y int) int { return (bx-ax)*(y-ay) - (by-ay)*(x-ax) }

// No line crosses another or runs through another's mark.
func TestFaceLinesAreApart(t *testing.T) {
	for a, p := range faceSites {
		px, py := leader(p)
		for b, q := range faceSites {
			if a == b {
				continue
			}
			qx, qy := leader(q)
			if side(p.x, p.y, px, py, q.x, q.y) > 0 != (side(p.x, p.y, px, py, qx, qy) > 0) &&
				side(q.x, q.y, qx, qy, p.x, p.y) > 0 != (side(q.x, q.y, qx, qy, px, py) > 0) {
				t.Errorf("the lines of %s and %s cross", a, b)
			}
			// The distance of q's mark from p's line, where it lies beside it.
			lx, ly := px-p.x, py-p.y
			along, length := (q.x-p.x)*lx+(q.y-p.y)*ly, lx*lx+ly*ly
			if along <= 0 || along >= length {
				continue
			}
			off := side(p.x, p.y, px, py, q.x, q.y)
			if off*off/length < 72*72 {
				t.Errorf("the line of %s runs through the mark of %s", a, b)
			}
			if dx, dy := p.x-q.x, p.y-q.y; dx*dx+dy*dy < 144*144 {
				t.Errorf("the marks of %s and %s overlap", a, b)
			}
		}
	}
}

// What the summary knows of a site stands on the map and in its description.
func TestFaceMapTellsEverySite(t *testing.T) {
	h := twoInfants()
	for _, f := range h.Infants {
		p := readPicture(t, faceMap(h, f, alone))
		var all []string
		for _, l := range p.labels {
			all = append(all, l.text)
		}
		words := strings.Join(all, " ")
		for _, x := range f.Skin.Sites {
			want := plain(x.Site) + ": " + plain(x.Finding)
			if !strings.Contains(words, want) || !strings.Contains(p.desc, want) {
				t.Errorf("%s: %q is not told", f.Infant, want)
			}
		}
		for _, site := range entry.Sites {
			seen := false
			for _, x := range f.Skin.Sites {
				seen = seen || x.Site == site
			}
			if !seen && !strings.Contains(words, plain(site)+": not seen") {
				t.Errorf("%s: %s was not seen, and the map does not say so", f.Infant, site)
			}
		}
	}
	if p := readPicture(t, faceMap(h, h.Infants[1], alone)); !strings.Contains(p.desc, "Hours under the interface NOT CHARTED") {
		t.Error("hours that are a gap are not told as one")
	}
}
