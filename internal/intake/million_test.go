package intake_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"runtime"
	"strconv"
	"testing"
	"testing/fstest"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// usageFile makes a usage file of n rows over two years, a hundred rows of which are told twice.
func usageFile(n int) []byte {
	var b bytes.Buffer
	b.WriteString("used_on,wire,mass_g,order\n")
	wires := []string{"MW-R-10", "MW-H-14", "PB-R-8", "SS-F-24"}
	start := calendar.NewDate(2024, 1, 1)
	var row []byte
	for i := range n {
		k := i
		if i > n-100 {
			k = i - 100
		}
		row = append(row[:0], (start + calendar.Date(k*730/n)).String()...)
		row = append(append(row, ','), wires[k%len(wires)]...)
		row = append(strconv.AppendInt(append(row, ','), int64(k/10+1), 10), '.')
		row = append(strconv.AppendInt(row, int64(k%10), 10), ",O-"...)
		row = append(strconv.AppendInt(row, int64(k/8), 10), '\n')
		b.Write(row)
	}
	return b.Bytes()
}

func TestAMillionRows(t *testing.T) {
	const n = 1_000_000
	f := shop.fs()
	f["usage.csv"] = &fstest.MapFile{Data: usageFile(n)}
	before := heap()
	read, _ := intake.Read(f)
	if kept := (heap() - before) / n; kept > 80 {
		t.Errorf("keeps %d bytes a row, want at most 80", kept)
	}
	facts, problems := read.Facts(newShop())
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	if len(facts.Usage) != n {
		t.Fatalf("%d rows of usage, want %d", len(facts.Usage), n)
	}
	var total measure.Mass
	known := newShop()
	known.Usage = map[stock.Usage]int{}
	for i, u := range facts.Usage {
		if i > 0 && u.On < facts.Usage[i-1].On {
			t.Fatalf("row %d goes back to %s", i, u.On)
		}
		total += u.Mass
		u.Nth = 0
		known.Usage[u]++
	}
	var want measure.Mass
	for i := range n {
		k := i
		if i > n-100 {
			k = i - 100
		}
		want += measure.Mass(k/10+1)*measure.Gram + measure.Mass(k%10)*100
	}
	if total != want {
		t.Errorf("total %s, want %s", total, want)
	}
	again, problems := read.Facts(known)
	if err := problems.Err(); err != nil || len(again.Usage) != 0 {
		t.Errorf("a second time: %d rows, %v; want none", len(again.Usage), err)
	}
}

// heap gives the bytes in use.
func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// TestAMillionBadRows wants every bad row counted and few kept.
func TestAMillionBadRows(t *testing.T) {
	const n = 1_000_000
	bad := bytes.ReplaceAll(usageFile(n), []byte(",O-"), []byte(",O "))
	f := fstest.MapFS{"usage.csv": &fstest.MapFile{Data: bad}}
	before := heap()
	read, problems := intake.Read(f)
	if kept := heap() - before; kept > 1<<20 {
		t.Errorf("keeps %d bytes, want less than a megabyte", kept)
	}
	if len(read.Ignored) != 0 {
		t.Error(read.Ignored)
	}
	if len(problems) != 1001 || problems[1000].Text != "and 999000 more problems in this file" {
		t.Errorf("%d problems, the last %v", len(problems), problems[len(problems)-1])
	}
}

// BenchmarkUsage reads a hundred thousand rows, and tells how many times as long that takes as encoding/csv alone takes to
// split them.
func BenchmarkUsage(b *testing.B) {
	const n = 100_000
	data := usageFile(n)
	f := shop.fs()
	f["usage.csv"] = &fstest.MapFile{Data: data}
	var bare, whole time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		if err := split(data); err != nil {
			b.Fatal(err)
		}
		bare += time.Since(start)
		start = time.Now()
		read, _ := intake.Read(f)
		facts, problems := read.Facts(newShop())
		if len(problems) > 0 || len(facts.Usage) != n {
			b.Fatal(problems)
		}
		whole += time.Since(start)
	}
	b.ReportMetric(float64(whole)/float64(bare), "×csv")
	b.ReportMetric(float64(whole)/float64(b.N)/n, "ns/row")
}

// split reads all records with encoding/csv and drops them.
func split(data []byte) error {
	r := csv.NewReader(bytes.NewReader(data))
	r.ReuseRecord = true
	for {
		if _, err := r.Read(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
