package run

import (
	"strings"
	"testing"
	"time"
)

// gated is a protocol of one wait; the stage's other lines follow.
const gated = `format = 1
[protocol]
id = "gated"
title = "Gated"
version = "1"
[instrument.thermometer]
title = "Thermometer"
unit = "Cel"
step = "0.1 K"
[instrument.cylinder]
title = "Cylinder"
unit = "mL"
step = "0.5 mL"
[[given]]
id = "warm"
value = "54 Cel"
[[given]]
id = "near"
value = "0.5 mL"
[[given]]
id = "rise"
value = "18 K"
[[stage]]
id = "wait"
title = "Wait"
clock = { at_least = "8 min", aim = "12 min", at_most = "25 min" }
  [[stage.reading]]
  id = "oil"
  title = "Oil"
  kind = "series"
  unit = "Cel"
  instrument = "thermometer"
  [[stage.reading]]
  id = "interface"
  title = "Interface"
  kind = "series"
  unit = "mL"
  instrument = "cylinder"
[[stage]]
id = "next"
title = "Next"
steps = ["Go on"]
`

// settled is the gate of a layer that settles.
const settled = "count(interface) >= 5 and abs(last(interface) - nth(interface, count(interface) - 1)) <= near" +
	" and abs(last(interface) - nth(interface, count(interface) - 2)) <= near"

func gatedBy(t *testing.T, ready, more string) *hand {
	t.Helper()
	h := beginOf(t, strings.Replace(gated, "at_most = \"25 min\" }\n", "at_most = \"25 min\" }\nready = \""+ready+"\"\nready_say = \"so far\"\n"+more, 1), nil, "A", "B")
	h.do("0:00", "", Acknowledge{})
	h.do("0:00", "A", Forward{})
	return h
}

// TestGateTellsWhatIsLacking: every condition of a gate that does not hold is told, with what there is and what is wanted.
func TestGateTellsWhatIsLacking(t *testing.T) {
	tests := []struct{ ready, oil, interfaces, want string }{
		{"last(oil) >= warm", "53.6", "", "oil at 53.6 °C: wait for 54.0 °C"},
		{"warm <= last(oil)", "53.6", "", "oil at 53.6 °C: wait for 54.0 °C"},
		{"last(oil) > warm", "54.0", "", "oil at 54.0 °C: wait for 54.1 °C"},
		{"last(oil) < warm", "54", "", "oil at 54.0 °C: wait for 53.9 °C"},
		{"last(oil) >= warm", "", "", "oil is not read yet"},
		{"last(oil) - first(oil) >= rise", "20 37.2", "", "so far: 17.2 K by now"},
		{"last(oil) - first(oil) >= rise and count(oil) < 2", "20 37.2", "", "oil: 17.2 K by now, at least 18 K wanted; 2 readings, less than 2 wanted"},
		{settled, "", "", "interface: 0 of 5 readings"},
		{settled, "", "9", "interface: 1 of 5 readings"},
		{settled, "", "16.5 17 17 17", "interface: 4 of 5 readings"},
		{settled, "", "10 14 16 17", "interface: 4 of 5 readings; 14.0, 16.0 and 17.0 mL are more than 0.5 mL apart"},
		{settled, "", "10 14 16 16.5 17", "interface: 16.0 and 17.0 mL are more than 0.5 mL apart"},
		{settled + " and last(oil) >= warm", "53.6", "16.5 17 17 17", "interface: 4 of 5 readings; oil at 53.6 °C: wait for 54.0 °C"},
		{"last(oil) >= warm or count(interface) >= 5", "53.6", "", "so far"}, // either would do: the protocol's own words
	}
	for _, tt := range tests {
		h := gatedBy(t, tt.ready, "")
		for id, values := range map[string]string{"oil": tt.oil, "interface": tt.interfaces} {
			r := h.engine.State.Protocol.Reading(id)
			for i, typed := range strings.Fields(values) {
				at := time.Duration(i+1) * time.Minute
				h.now = at
				p, err := parse(r, typed)
				if err != nil {
					t.Fatal(err)
				}
				v := h.engine.State.Vessel("A")
				v.Taken = append(v.Taken, Taken{Reading: r, Value: p.value, Typed: typed, At: Moment{noon.Add(at), at}})
			}
		}
		w := h.engine.State.Look("A", 7*time.Minute)
		if w.Gate.Met || w.Gate.Lacks != tt.want {
			t.Errorf("%s with oil %s and interface %s: %q, want %q", tt.ready, tt.oil, tt.interfaces, w.Gate.Lacks, tt.want)
		}
		if w.Gate.Lacks != "so far" {
			h.refused("13:00", "A", Forward{}, "Not shown yet: so far ("+tt.want+"). To go on all the same: y, then why.")
		}
	}
}

// TestAimOverAndGateUnmet: a wait whose aim is over and whose gate does not hold goes on waiting, and says for what. The
// hands are called to read again: by the reminder where one asks for it, otherwise a minute after the last reading, and
// before the window closes.
func TestAimOverAndGateUnmet(t *testing.T) {
	const lacks = "oil at 53.6 °C: wait for 54.0 °C"
	const over, reread = "12:00 are over, " + lacks + ".", " Read it again."
	const remind = "remind = { every = \"5 min\", say = \"Read the oil\", reading = \"oil\" }\n"
	tests := []struct {
		at, read, remind string
		tone             Tone
		wants            string
		in               string
	}{
		{"11:59", "11:30", "", Waiting, "", "0:01"},
		{"12:38", "12:30", "", Waiting, over, "0:52"},
		{"13:30", "12:30", "", Hands, over + reread, "0:00"},
		{"12:38", "10:01", remind, Waiting, over, "2:22"},
		{"24:30", "24:20", remind, Hands, over + reread, "0:00"}, // half a minute before the window closes
		{"25:01", "24:20", remind, Late, "Past the latest end, " + lacks + ", or end the wait.", "0:00"},
	}
	for _, tt := range tests {
		h := gatedBy(t, "last(oil) >= warm", tt.remind)
		h.typed(tt.read, "A", "53.6")
		at, _ := ParseHms(tt.at)
		w := h.engine.State.Look("A", at)
		if w.Tone != tt.tone || w.Wants != tt.wants {
			t.Errorf("at %s: tone %d, %q; want %d, %q", tt.at, w.Tone, w.Wants, tt.tone, tt.wants)
		}
		turns := h.engine.State.Queue(at)
		turn := turns[0]
		if turn.Vessel != "A" {
			turn = turns[1]
		}
		in, _ := ParseHms(tt.in)
		if tt.wants != "" && turn.Do != lacks || turn.In.Truncate(time.Second) != in || turn.Tone != tt.tone {
			t.Errorf("at %s the queue has %q in %s, tone %d; want %q in %s, tone %d", tt.at, turn.Do, turn.In, turn.Tone, lacks, tt.in, tt.tone)
		}
	}
}
