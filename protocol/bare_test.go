package protocol

import "testing"

// TestBare reads a file that is no protocol and tells its faults in file order, each at its place.
func TestBare(t *testing.T) {
	b, err := ReadBare("x.toml", []byte("a = 1\n[[b]]\n  c = \"ü\"\n"))
	if err != nil || b.Errors() != nil {
		t.Fatal(err, b.Errors())
	}
	path := Path(PathOf("b", 0), "c")
	b.Fault(path, "c = "+b.Found(path, "ü"), "a number")
	b.FaultOfKey(path, "key "+b.Spelt(path, "ü"), "")
	b.Fault("a", "a", "2")
	want := "x.toml:1:5: a; write 2\nx.toml:3:3: key \"ü\"\nx.toml:3:7: c = \"ü\", a text; write a number"
	if got := b.Errors(); got == nil || got.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", got, want)
	}
	if _, err := ReadBare("x.toml", []byte("a = \n")); err == nil || err.Error()[:9] != "x.toml:1:" {
		t.Errorf("no TOML: %v", err)
	}
}
