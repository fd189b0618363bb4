"""What is known of a bike on a ground with its set-ups. No widget, no HTML, no Bokeh."""
