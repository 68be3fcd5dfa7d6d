package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"sync"
	"testing"
	"time"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// BenchmarkReadsWhileOthersPost reads Today again and again, alone and then while eight people post, and tells the 99th percentile of
// the reads among them as a ratio to that of those alone.
func BenchmarkReadsWhileOthersPost(b *testing.B) {
	shop := testkit.ScenarioShop(b)
	site := visit.Open(b, shop)
	night, err := shop.RunNight(testkit.As(b.Context(), workshop.Lead), testkit.Day(b))
	if err != nil {
		b.Fatal(err)
	}
	reader := site.As(b, workshop.Lead)
	alone := reads(b, reader, 200)
	wires := night.Alerts()
	stop := make(chan struct{})
	var posting sync.WaitGroup
	posted := make([]int, 8)
	for i := range posted {
		v := site.As(b, workshop.Lead)
		posting.Go(func() {
			for n := 0; ; n++ {
				select {
				case <-stop:
					return
				default:
				}
				wire := string(wires[(i+8*n)%len(wires)].Wire)
				if p := v.Post("/buying/answers", url.Values{"wire": {wire}, "reason": {"seen"}}); p.Status == http.StatusSeeOther {
					posted[i]++
				}
			}
		})
	}
	var among []time.Duration
	for b.Loop() {
		among = append(among, reads(b, reader, 1)...)
	}
	close(stop)
	posting.Wait()
	b.ReportMetric(float64(late(among))/float64(late(alone)), "p99/alone")
	b.ReportMetric(float64(late(among).Microseconds())/1000, "p99-ms")
	b.ReportMetric(float64(sum(posted))/float64(len(among)), "posts/read")
}

func reads(b *testing.B, v *visit.Visitor, n int) []time.Duration {
	all := make([]time.Duration, n)
	for i := range all {
		began := time.Now()
		if p := v.Get("/"); p.Status != http.StatusOK {
			b.Fatal(p.Status)
		}
		all[i] = time.Since(began)
	}
	return all
}

func late(all []time.Duration) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)*99/100]
}

func sum(list []int) (n int) {
	for _, v := range list {
		n += v
	}
	return n
}
