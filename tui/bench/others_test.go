package bench

import (
	"regexp"
	"strings"
	"testing"
)

// TestEveryVesselIsInSight: whatever has no glass has its letter and shape in a line, at any width.
func TestEveryVesselIsInSight(t *testing.T) {
	for _, n := range []int{2, 4, 8} {
		p := atBench(t, n)
		for _, w := range []int{40, 48, 59, 60, 70, 79, 80, 100, 120} {
			p.size(w, 24)
			for _, v := range p.now().views {
				if !regexp.MustCompile(`(^|[ \[])` + v.Vessel + `([ \]]|$)`).MatchString(strings.Join(strings.Split(p.text(), "\n")[:4], " ")) {
					t.Errorf("%d vessels, %d columns: %s is not to be seen:\n%s", n, w, v.Vessel, p.text())
				}
			}
		}
	}
}

// TestAwayFromAfar: the far view says that the hands are away.
func TestAwayFromAfar(t *testing.T) {
	p := atBench(t, 2)
	p.play("f")
	if strings.Contains(p.text(), "AWAY") {
		t.Fatal("away before the key")
	}
	if p.play("a"); !strings.Contains(p.text(), "AWAY") {
		t.Errorf("the far view lacks it:\n%s", p.text())
	}
}
