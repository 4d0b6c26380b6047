autocmd BufRead,BufNewFile *.cotter setfiletype cotter
