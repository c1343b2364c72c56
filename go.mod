module coldwright

go 1.24
