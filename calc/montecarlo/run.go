package montecarlo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"

	"example.org/meniscus/calc/quantity"
)

// The fewest and the most trials of a run. The most keeps what is held of the outputs in memory small.
const (
	LeastTrials = 1000
	MostTrials  = 10_000_000
)

// block is how many trials share a stream of random numbers.
const block = 512

// Options say how many trials are made, and which ones.
type Options struct {
	Trials int
	Seed   uint64
	// Progress, if it is not nil, is told now and then, by any core, which share of the trials is done.
	Progress func(share float64)
}

// Check refuses a number of trials that tells nothing, or takes for ever.
func (o Options) Check() error {
	if o.Trials < LeastTrials || o.Trials > MostTrials {
		return fmt.Errorf("%d trials: write a number from %d to %d", o.Trials, LeastTrials, MostTrials)
	}
	return nil
}

// A Model works out the outputs of one trial from the deviates of the sources, in their order. An output without a
// value in this trial is NaN. One Model serves one core, so it may keep what it needs from trial to trial.
type Model func(deviates, out []float64)

// Run makes the trials and returns, for each output, its value in each trial. newModel is called once for each core.
func Run(sources []quantity.Source, outputs int, newModel func() Model, o Options) ([][]float64, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	values := make([][]float64, outputs)
	for k := range values {
		values[k] = make([]float64, o.Trials)
	}
	blocks := (o.Trials + block - 1) / block
	var next, done atomic.Int64
	var cores sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), blocks) {
		cores.Add(1)
		go func() {
			defer cores.Done()
			w := worker{sources: sources, model: newModel(), deviates: make([]float64, len(sources)), out: make([]float64, outputs)}
			for b := int(next.Add(1)) - 1; b < blocks; b = int(next.Add(1)) - 1 {
				w.block(b, o, values)
				if o.Progress != nil {
					o.Progress(float64(done.Add(1)) / float64(blocks))
				}
			}
		}()
	}
	cores.Wait()
	return values, nil
}

// worker makes blocks of trials on one core.
type worker struct {
	sources       []quantity.Source
	model         Model
	deviates, out []float64
}

func (w *worker) block(b int, o Options, values [][]float64) {
	pcg := rand.NewPCG(o.Seed, uint64(b))
	r := rand.New(pcg)
	draw := drawers(w.sources, pcg)
	for trial := b * block; trial < min((b+1)*block, o.Trials); trial++ {
		for i := range draw {
			w.deviates[i] = draw[i](r)
		}
		for k := range w.out {
			w.out[k] = math.NaN()
		}
		w.model(w.deviates, w.out)
		for k, y := range w.out {
			values[k][trial] = y
		}
	}
}
