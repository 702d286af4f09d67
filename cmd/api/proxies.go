package main

import (
	"fmt"
	"net/netip"
	"strings"
)

// proxies are the addresses of the servers in front of this one whose word is taken for whom a request comes from and how.
type proxies []netip.Prefix

// UnmarshalText reads addresses and ranges in CIDR notation, separated by commas.
func (p *proxies) UnmarshalText(text []byte) error {
	var list proxies
	for one := range strings.SplitSeq(string(text), ",") {
		if one = strings.TrimSpace(one); one == "" {
			continue
		}
		prefix, err := prefixOf(one)
		if err != nil {
			return fmt.Errorf("%q is no address: give addresses or ranges, separated by commas, as 10.0.0.0/8,192.0.2.7", one)
		}
		list = append(list, prefix)
	}
	*p = list
	return nil
}

func prefixOf(s string) (netip.Prefix, error) {
	if strings.Contains(s, "/") {
		return netip.ParsePrefix(s)
	}
	addr, err := netip.ParseAddr(s)
	if err != nil {
		return netip.Prefix{}, err
	}
	return addr.Unmap().WithZone("").Prefix(addr.Unmap().BitLen())
}
