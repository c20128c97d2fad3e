#pragma once
#define MOTHERBOARD BOARD_SPOONBILL_E3
#define EXTRUDERS 1
#define E0_DRIVER_TYPE TMC2209
#define TEMP_SENSOR_0 -5
#define TEMP_SENSOR_BED 13
#if TEMP_SENSOR_0 == -5 || TEMP_SENSOR_0 == -3
  #define MAX31865_SENSOR_OHMS_0      1000   // (ohm) 100 or 1000
  #define MAX31865_CALIBRATION_OHMS_0 4300   // (ohm) 430 or 4300
#endif
#define HEATER_0_MINTEMP 5
#define BED_MINTEMP 5
#define HEATER_0_MAXTEMP 310
#define BED_MAXTEMP 130
#define HOTEND_OVERSHOOT 15
#define BED_OVERSHOOT 10
#define PIDTEMP
#define BANG_MAX 255
#define PID_MAX BANG_MAX
#define MAX_BED_POWER 255
#define THERMAL_PROTECTION_HOTENDS
#define THERMAL_PROTECTION_BED
#define ENDSTOPPULLUPS
#define X_MIN_ENDSTOP_INVERTING false
#define Y_MIN_ENDSTOP_INVERTING false
#define Z_MIN_ENDSTOP_INVERTING false
#define Z_MIN_PROBE_ENDSTOP_INVERTING false
#define USE_PROBE_FOR_Z_HOMING
#define BLTOUCH
//#define Z_PROBE_SERVO_NR 0
#define X_HOME_DIR -1
#define Y_HOME_DIR -1
#define Z_HOME_DIR -1
#define FAN1_PIN P1_24   // second part fan, on the breakout's own switch
