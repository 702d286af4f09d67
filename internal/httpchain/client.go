package httpchain

import (
	"net"
	"net/netip"

	"github.com/labstack/echo/v4"
)

// trust has echo believe the forwarding headers of the proxies in some ranges, and of nobody else.
func trust(proxies []netip.Prefix) []echo.TrustOption {
	options := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, p := range proxies {
		options = append(options, echo.TrustIPRange(&net.IPNet{
			IP: p.Masked().Addr().AsSlice(), Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen()),
		}))
	}
	return options
}

// clientIP finds the address of whoever asks: that of the connection, or where it comes from one of the proxies, the last one in
// X-Forwarded-For that is none of them.
func clientIP(proxies []netip.Prefix) echo.IPExtractor {
	return echo.ExtractIPFromXFFHeader(trust(proxies)...)
}
