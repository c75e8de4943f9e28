package summary_test

import (
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// titration is the state of a worked example: a titrant against a weighed standard, eleven sources and one closed formula.
func titration(b *testing.B) *run.State {
	b.Helper()
	text, err := os.ReadFile("../../testdata/worked/w12.toml")
	if err != nil {
		b.Fatal(err)
	}
	rows, err := os.ReadFile("../../testdata/worked/w12.csv")
	if err != nil {
		b.Fatal(err)
	}
	p, err := protocol.Load("w12.toml", text)
	if err != nil {
		b.Fatal(err)
	}
	events, err := paper.Read(strings.NewReader(string(rows)), p, "w12.csv", paper.Options{Run: "r", Program: "test"})
	if err != nil {
		b.Fatal(err)
	}
	s, err := run.Fold(events)
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// bareLoop is the same propagation as a Go programmer would write it for this one formula: two cores, no units, no
// protocol, the three results of the example.
func bareLoop(trials int) [3][]float64 {
	var out [3][]float64
	for k := range out {
		out[k] = make([]float64, trials)
	}
	cores := runtime.GOMAXPROCS(0)
	var all sync.WaitGroup
	for c := range cores {
		all.Add(1)
		go func() {
			defer all.Done()
			r := rand.New(rand.NewPCG(1, uint64(c)))
			flat := func(x, a float64) float64 { return x + a*(2*r.Float64()-1) }
			for i := c * trials / cores; i < (c+1)*trials/cores; i++ {
				salt := flat(60.5450, 0.00015) - flat(60.1562, 0.00015)
				molar := 8*flat(12.0107, 0.0008) + 5*flat(1.00794, 0.00007) + 4*flat(15.9994, 0.0003) + flat(39.0983, 0.0001)
				volume := 18.64 + 0.03*(r.Float64()+r.Float64()-1) + 0.006*r.NormFloat64()
				out[0][i], out[1][i] = molar, salt
				out[2][i] = 1000 * (1 + 0.0005*r.NormFloat64()) * salt * flat(1, 0.0005) / (molar * volume)
			}
		}()
	}
	all.Wait()
	for k := range out {
		slices.Sort(out[k])
	}
	return out
}

const benchTrials = 1_000_000

// A million trials of a protocol, and how many times as long they take as the bare loop in the same run.
func BenchmarkMillionTrials(b *testing.B) {
	s := titration(b)
	var bare, ours time.Duration
	for range b.N {
		begin := time.Now()
		if out := bareLoop(benchTrials); math.Abs(out[2][benchTrials/2]-0.102136) > 1e-5 {
			b.Fatalf("the bare loop works out %g", out[2][benchTrials/2])
		}
		between := time.Now()
		if err := summary.FromState(s).Trials(s, montecarlo.Options{Trials: benchTrials, Seed: 1}); err != nil {
			b.Fatal(err)
		}
		bare, ours = bare+between.Sub(begin), ours+time.Since(between)
	}
	b.ReportMetric(float64(ours)/float64(bare), "times-the-bare-loop")
	b.ReportMetric(float64(ours.Nanoseconds())/float64(b.N)/benchTrials, "ns/trial")
}

func BenchmarkResultsWithUncertainty(b *testing.B) {
	s := titration(b)
	b.ReportAllocs()
	for range b.N {
		summary.FromState(s)
	}
}
