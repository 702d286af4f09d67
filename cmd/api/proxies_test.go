package main

import (
	"fmt"
	"testing"
)

func TestProxiesAreAddressesAndRanges(t *testing.T) {
	for text, want := range map[string]string{
		"":                                  "[]",
		"10.0.0.0/8":                        "[10.0.0.0/8]",
		"10.0.0.0/8, 192.0.2.7,2001:db8::1": "[10.0.0.0/8 192.0.2.7/32 2001:db8::1/128]",
		"::ffff:192.0.2.7":                  "[192.0.2.7/32]",
		"2001:db8::/32,":                    "[2001:db8::/32]",
	} {
		var p proxies
		if err := p.UnmarshalText([]byte(text)); err != nil || fmt.Sprint(p) != want {
			t.Errorf("%q: %v, %v, want %s", text, p, err, want)
		}
	}
	for _, text := range []string{"10.0.0", "proxy.example", "10.0.0.0/33", "10.0.0.0/8;::1", "10.0.0.1:80"} {
		var p proxies
		if err := p.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q: %v", text, p)
		}
	}
}
