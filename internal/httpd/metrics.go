package httpd

import (
	"net/http"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Build says which program is running.
type Build struct {
	Version string
	Commit  string
}

// metrics are what /metrics shows, in a registry of their own so that two engines do not meet.
type metrics struct {
	registry  *prometheus.Registry
	requests  *prometheus.CounterVec
	durations *prometheus.HistogramVec
}

func newMetrics(build Build) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "windingroom_http_requests_total", Help: "Requests answered.",
		}, []string{"method", "route", "status"}),
		durations: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "windingroom_http_request_seconds", Help: "Time from the request's arrival to its answer.",
			Buckets: []float64{.001, .005, .02, .1, .5, 2, 10},
		}, []string{"route"}),
	}
	info := prometheus.NewGaugeVec(prometheus.GaugeOpts{
		Name: "windingroom_build_info", Help: "Always 1; the labels say which program is running.",
	}, []string{"version", "commit"})
	info.WithLabelValues(build.Version, build.Commit).Set(1)
	m.registry.MustRegister(m.requests, m.durations, info,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

func (m *metrics) handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
}
