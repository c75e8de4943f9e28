package summary_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"sort"
	"strings"
	"testing"
)

// shape names a JSON value's kind: s text, n number, b yes or no, o object, a list, 0 null.
func shape(v any) string {
	switch v.(type) {
	case nil:
		return "0"
	case string:
		return "s"
	case float64:
		return "n"
	case bool:
		return "b"
	case map[string]any:
		return "o"
	case []any:
		return "a"
	}
	return reflect.TypeOf(v).String()
}

// holds fails unless v has each member of want, "key:kinds", with one of the kinds.
func holds(t *testing.T, where string, v any, want string) map[string]any {
	t.Helper()
	object, ok := v.(map[string]any)
	if !ok {
		t.Fatalf("%s is no object", where)
	}
	for _, w := range strings.Fields(want) {
		key, kinds, _ := strings.Cut(w, ":")
		member, has := object[key]
		if !has || !strings.Contains(kinds, shape(member)) {
			t.Errorf("%s.%s: found %v (%s), want one of %s", where, key, member, shape(member), kinds)
		}
	}
	return object
}

func each(t *testing.T, where string, v any, want string) {
	t.Helper()
	list, ok := v.([]any)
	if !ok {
		t.Fatalf("%s is no list", where)
	}
	for i, one := range list {
		holds(t, fmt.Sprintf("%s[%d]", where, i), one, want)
	}
}

const resultKeys = "id:s title:s value:n0 unit:s standard_uncertainty:n0 expanded_uncertainty:n0 coverage_factor:n0 " +
	"degrees_of_freedom:n0 status:s message:s budget:a"

func TestJSONKeepsTheContract(t *testing.T) {
	text, err := json.Marshal(of(t, whole(t).events))
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	s := holds(t, "summary", v, "protocol:o run:o vessels:a results:a checks:a guards:a deviations:a notes:a restarts:a instruments:a references:a deferral:s")
	holds(t, "protocol", s["protocol"], "id:s title:s version:s")
	holds(t, "run", s["run"], "id:s begun:s ended:s complete:b program:s")
	each(t, "results", s["results"], resultKeys)
	each(t, "guards", s["guards"], "id:s vessel:s say:s at:s settled:b")
	for i, one := range s["vessels"].([]any) {
		where := fmt.Sprintf("vessels[%d]", i)
		vessel := holds(t, where, one, "label:s givens:o amounts:a readings:a results:a checks:a deviations:a notes:a")
		each(t, where+".amounts", vessel["amounts"], "id:s title:s value:n unit:s")
		each(t, where+".readings", vessel["readings"], "id:s title:s portion:n value:n0 unit:s typed:s at:s elapsed_s:n unlikely:b not_taken:b corrections:a")
		each(t, where+".results", vessel["results"], resultKeys)
		each(t, where+".checks", vessel["checks"], "result:s verdict:s low:n0 high:n0 limit:s close:b message:s source:s")
		each(t, where+".deviations", vessel["deviations"], "kind:s stage:s portion:n what:s planned:s done:s at:s")
		each(t, where+".notes", vessel["notes"], "at:s text:s")
		for _, r := range vessel["results"].([]any) {
			each(t, where+".budget", r.(map[string]any)["budget"], "source:s title:s contribution:n share:n")
		}
		var ids []string
		for id := range vessel["givens"].(map[string]any) {
			ids = append(ids, id)
		}
		sort.Strings(ids)
		if got := strings.Join(ids, " "); got != "fuel group wanted" {
			t.Errorf("%s.givens has %s", where, got)
		}
	}
}
