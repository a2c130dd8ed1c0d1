/** The bare sheet: opened with #print it asks for the printer's window by itself. */

if (location.hash === '#print') window.print();
